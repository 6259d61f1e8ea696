"""Colour ranges of the deposits, as sRGB hex anchors between which tones are drawn. Invented, wide and overlapping.

The ``shift`` palette holds other anchors of the same words, for the shift domain.
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
    Deposit.BARE: ("e4e6e8", "ece2cf"),
    Deposit.LIGHT: ("c2ab98", "a9a79f", "b79b70", "8f8072", "ddd2c4"),
    Deposit.DRY_CARBON: ("1a1a1d", "35302b", "0c0c0c", "453f39"),
    Deposit.WET_OIL: ("12100c", "3d2a16", "0e0f10", "2a2018"),
    Deposit.WET_FUEL: ("c4b392", "9c8560", "d6d0c6"),
    Deposit.ASH: ("d3cfc9", "9a9389", "e8dfce", "b99e7c", "857b70"),
    Deposit.GLAZE: ("b98f42", "9c6a35", "c4ad62", "57381f", "a58a5a"),
    Deposit.CHALK_WHITE: ("ebe9df", "f5f5f3", "e0e2e3"),
    Deposit.LEAD: ("827d78", "a8925f", "c2b08e", "5c5852"),
    Deposit.MINERAL: ("cfd2c8", "92ad94", "b59c7c", "e3e1da", "7d9c98"),
    Deposit.GRIT: ("96805a", "6d675f", "b8ac94", "463e36"),
    Deposit.RED_TINT: ("c25f33", "993a2b", "dba06b", "b4573f"),
}


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
