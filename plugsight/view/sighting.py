"""What stands out in a photo as the plug: its outline, its shell and where its firing end lies."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.view.finder import CARD_CLASS, CENTRE, GROUND, NOSE, SHELL, PartMap, see_parts
from plugsight.view.ground import Ground, standing_out
from plugsight.vocabulary.refusal import NotFound

_LEAST_SHELL, _LEAST_TIP = 0.008, 0.0006
"""Shares of the picture below which shell and firing end count as not seen."""


_DOUBTFUL_TIP = 0.45
_SURE_PLUG, _SURE_TIP, _LEAST_CORE, _WHOLE = 0.89, 0.6, 0.0015, 0.93
"""Mean certainty of plug and firing end, least share of nose and centre electrode in the picture, and share of all plug pixels
in one piece, from which the finder's word is enough (development renders: four plugs in five; no bundled picture of
anything else, no bolt or drill among fifteen)."""
_LIKELY_PLUG = 0.75
"""Mean certainty of the plug from which a finer look is worth while: the part networks then decide (``segments.find``)."""

_NO_END = NotFound(
    "no spark plug's firing end was found in the photo",
    "Lay one plug on the grey card and fill the picture with its firing end and thread",
)


@dataclass(frozen=True, slots=True, eq=False)
class Sighting:
    """``plug`` and ``shell`` ``(rows, cols)`` bool on a copy ``factor`` times as large as the reduced photo.

    ``tip`` is the ``(col, row)`` of the firing end's middle on that copy, None where only the outline is known; ``several`` True
    where more than one firing end is seen; ``card`` where the finder sees a grey card, if it does;
    ``parts`` the finder's labels of this plug alone; ``sure`` whether they alone prove a plug, or a thread must be seen
    clearly besides; ``likely`` whether they at least speak for one.
    """

    plug: NDArray[np.bool_]
    shell: NDArray[np.bool_]
    factor: float
    tip: tuple[float, float] | None
    several: bool
    card: NDArray[np.bool_] | None
    parts: PartMap | None
    sure: bool
    likely: bool


def sight(reduced: NDArray[np.uint8], ground: Ground) -> Sighting | NotFound:
    """Take the learned finder's word for what is plug; without a finder, whatever stands out from a quiet background."""
    parts = see_parts(reduced)
    if parts is None:
        plug = standing_out(ground)
        if isinstance(plug, NotFound):
            return plug
        return Sighting(
            plug, plug, ground.factor, None, several=False, card=None, parts=None, sure=False, likely=False
        )
    blobs = _blobs(parts.plug)
    scored = [
        (int((blob & (parts.labels == SHELL)).sum()), int((blob & parts.tip).sum()), blob) for blob in blobs
    ]
    size = parts.labels.size
    whole = [s for s in scored if s[0] > _LEAST_SHELL * size and s[1] > _LEAST_TIP * size]
    if not whole:
        return _NO_END
    shell_area, _, plug = max(whole, key=lambda s: s[1])
    if float(parts.certainty[plug & parts.tip].mean()) < _DOUBTFUL_TIP:
        return _NO_END
    shell = plug & (parts.labels == SHELL)
    own = PartMap(np.where(plug, parts.labels, 0).astype(np.uint8), parts.factor, parts.certainty)
    metal = plug & (parts.labels >= CENTRE) & (parts.labels <= GROUND)
    rows, cols = np.nonzero(metal if metal.sum() > _LEAST_TIP * size / 2 else plug & parts.tip)
    others = [s for s in whole if s[2] is not plug and s[0] > 0.3 * shell_area]
    card = parts.labels == CARD_CLASS
    tip = (float(cols.mean()), float(rows.mean()))
    return Sighting(
        plug,
        shell,
        parts.factor,
        tip,
        several=bool(others),
        card=card if card.any() else None,
        parts=own,
        sure=_whole(own, parts, _SURE_PLUG) and _clear_tip(own),
        likely=_whole(own, parts, _LIKELY_PLUG),
    )


def _whole(own: PartMap, parts: PartMap, least: float) -> bool:
    """One piece, and all of it seen with at least that certainty."""
    return bool(own.certainty[own.plug].mean() >= least and own.plug.sum() >= _WHOLE * parts.plug.sum())


def _clear_tip(own: PartMap) -> bool:
    core = (own.labels == NOSE) | (own.labels == CENTRE)
    return bool(own.certainty[own.tip].mean() >= _SURE_TIP and core.mean() >= _LEAST_CORE)


def _blobs(mask: NDArray[np.bool_]) -> list[NDArray[np.bool_]]:
    joined = cv2.morphologyEx(mask.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((5, 5), np.uint8))
    count, labels = cv2.connectedComponents(joined)
    return [mask & (labels == k) for k in range(1, count)]
