"""The segments room's verb."""

import numpy as np
from numpy.typing import NDArray

from plugsight.segments.canonical import clean_labels
from plugsight.segments.full_size import carry_to_view
from plugsight.segments.network import part_chances, tip_chances
from plugsight.segments.record import Part, Segments, TipMap
from plugsight.segments.tip_window import tip_crop, tip_window
from plugsight.view.record import View
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotFound

LEAST_SHELL = 0.03
"""Share of the canonical crop that a shell must fill; one in the frame fills over 15 % by the frame's definition."""
LEAST_CONFIDENCE = 0.75
"""Mean certainty under which the parts are not believed (set on development renders)."""
PROOF, TIP_PROOF = 0.955, 0.89
"""Mean certainty of all parts, and of nose and electrodes on the tip crop, that prove a plug where no thread does. Of 27 development
renders that had been refused for want of a thread, 20 have both; of 498 pictures of other things, threaded or not, one
(2026-11-26): chosen on these, the shipped pictures without a plug among them."""
LEAST_TIP = 40
"""Pixels of nose and electrodes together on the canonical crop. A recessed nose may be hidden in a side view."""


def find_parts(view: View, spec: PlugSpec) -> Segments | NotFound:  # noqa: ARG001
    """Find insulator nose, centre electrode, ground electrode(s) and shell.

    One network looks at the canonical crop, a second at the tip, finer; their chances are carried to
    the grid of ``view.pixels``, so outlines lie between the crops' pixels. ``spec`` is part of the contract (number of
    ground electrodes). Returns ``NotFound`` with reason and remedy where shell or tip can't be made out.
    """
    chances, read = part_chances(view.canonical)
    small = clean_labels(chances)
    plug = small != Part.BACKGROUND
    confidence = float(chances.max(axis=0)[plug].mean()) if plug.any() else 0.0
    if np.mean(small == Part.SHELL) < LEAST_SHELL:
        return NotFound(
            "no plug shell can be made out in this picture",
            "take the photo with the whole firing end and some thread in the frame, on the grey card",
        )
    if np.isin(small, (Part.NOSE, Part.CENTRE_ELECTRODE, Part.GROUND_ELECTRODE)).sum() < LEAST_TIP:
        return NotFound(
            "neither insulator nose nor any electrode can be made out",
            "turn the firing end towards the lamp and the camera, and move closer",
        )
    if confidence < LEAST_CONFIDENCE:
        return NotFound(
            f"the parts of the plug can't be told apart surely enough ({confidence:.0%}, {LEAST_CONFIDENCE:.0%} needed)",
            "take the photo again in even light, in focus on the tip, with one plug on the grey card",
        )
    tip = _look_at_tip(view, small)
    if not view.proven and (confidence < PROOF or _tip_certainty(tip.chances) < TIP_PROOF):
        return NotFound(
            "no thread is seen clearly, and nose and electrodes alone don't show surely that this is a plug",
            "take the photo from the side, with at least four turns of the thread sharp and in the picture",
        )
    return Segments(
        labels=carry_to_view(chances, small, tip, view),
        confidence=confidence,
        canonical_labels=small,
        tip=tip,
        read=read,
    )


def _tip_certainty(chances: NDArray[np.float32]) -> float:
    seen = chances.argmax(axis=0) >= Part.NOSE
    return float(chances.max(axis=0)[seen].mean()) if seen.any() else 0.0


def _look_at_tip(view: View, small: NDArray[np.uint8]) -> TipMap:
    window = tip_window(small, view.pose.kind, view.canonical_to_view)
    crop = tip_crop(view.pixels, window)
    chances, read = tip_chances(crop)
    return TipMap(
        chances=chances,
        to_view=window,
        px=float(np.hypot(window[0, 0], window[1, 0])),
        crop=crop,
        read=read,
    )
