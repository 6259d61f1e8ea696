"""Colour ranges of the deposits, as sRGB hex anchors between which tones are drawn. Invented, wide and overlapping.

The ``shift`` palette is another world, where the same words stand for other tones: the shift domain's.
"""

import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.noise import Floats
from plugsight.vocabulary.deposits import Deposit

USUAL: dict[Deposit, tuple[str, ...]] = {
    Deposit.BARE: ("efeeea", "e9e4d8"),
    Deposit.LIGHT: ("cbb48f", "bdb6aa", "a98a68", "d6c9b2", "9c9184", "b89a7c"),
    Deposit.DRY_CARBON: ("101011", "2b2927", "1c1815", "3a3734", "161719"),
    Deposit.WET_OIL: ("0b0a09", "1a120b", "33200f", "14110f", "241a12"),
    Deposit.WET_FUEL: ("d9cbb0", "b39a78", "8b6b49", "c9c2b4"),
    Deposit.ASH: ("e6e2da", "b1ada5", "cdb48d", "938777", "d9d0c0", "a8977c"),
    Deposit.GLAZE: ("cfa854", "8a5a26", "b27a2e", "aaa157", "6b4321", "d2bc82"),
    Deposit.CHALK_WHITE: ("f4f3ee", "eaebea", "f1eee2", "e6e7ea"),
    Deposit.LEAD: ("938f88", "b8a382", "bfa052", "6d6862", "a79a86"),
    Deposit.MINERAL: ("dddcd4", "bda98a", "a3b49b", "86a79c", "cfcabc", "c3c9bd"),
    Deposit.GRIT: ("a8926e", "7f7970", "544b41", "c4bca9", "8e7757"),
    Deposit.RED_TINT: ("b3512f", "c96d3c", "a4402c", "d2915f", "bd6a4a"),
}
SHIFT: dict[Deposit, tuple[str, ...]] = {
    Deposit.BARE: ("e1e4e6", "d6dce0"),
    Deposit.LIGHT: ("d8b296", "e0bfa4", "caa283"),
    Deposit.DRY_CARBON: ("2a211a", "3b2f26", "1f1813"),
    Deposit.WET_OIL: ("2e1d0d", "4a2f16", "3a2512"),
    Deposit.WET_FUEL: ("c7c9b8", "a9ab90", "b7b9a2"),
    Deposit.ASH: ("cdb48d", "b89a6f", "a98a5e"),
    Deposit.GLAZE: ("7f7f52", "9aa06a", "6b6a3c"),
    Deposit.CHALK_WHITE: ("e9e4d6", "e2dccb"),
    Deposit.LEAD: ("6d6862", "857f6e", "595650"),
    Deposit.MINERAL: ("8fa7b8", "a3b8c6", "7d98aa"),
    Deposit.GRIT: ("8a5a3c", "9c6a48", "7a4a30"),
    Deposit.RED_TINT: ("8f3a46", "a34d57", "7d2f3d"),
}
"""One shop's fuel, oil, coolant and dust: each tone narrow, and many where another deposit is in ``USUAL``."""


def linear(hexes: tuple[str, ...]) -> NDArray[np.float64]:
    """Anchors ``(k, 3)`` as linear reflectance (IEC 61966-2-1)."""
    encoded = np.array([[int(h[i : i + 2], 16) / 255 for i in (0, 2, 4)] for h in hexes])
    return np.asarray(np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4))


def tone(deposit: Deposit, palette: str, place: Floats) -> Floats:
    """Colour ``(n, 3)`` at ``place`` 0..1 along the deposit's anchors (values outside are folded back)."""
    anchors = linear((SHIFT if palette == "shift" else USUAL)[deposit])
    folded = 1 - np.abs(np.mod(place, 2.0) - 1)
    at = folded * (len(anchors) - 1)
    low = np.minimum(at.astype(int), len(anchors) - 2)
    share = (at - low)[:, None]
    return np.asarray(anchors[low] * (1 - share) + anchors[low + 1] * share, dtype=np.float32)
