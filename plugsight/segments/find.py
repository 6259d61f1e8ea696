"""The segments room's verb."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.segments.canonical import clean_labels
from plugsight.segments.network import part_chances
from plugsight.segments.record import Part, Segments
from plugsight.view.record import View
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotFound

LEAST_SHELL = 0.03
"""Share of the canonical crop that a shell must fill; one in the frame fills over 15 % by the frame's definition."""
LEAST_CONFIDENCE = 0.75
"""Mean certainty under which the parts are not believed (set on development renders)."""
LEAST_TIP = 40
"""Pixels of nose and centre electrode together on the canonical crop."""


def find_parts(view: View, spec: PlugSpec) -> Segments | NotFound:  # noqa: ARG001
    """Find insulator nose, centre electrode, ground electrode(s) and shell.

    The network looks at the canonical crop; its chances are carried to the grid of ``view.pixels``, so outlines lie
    between the crop's pixels. ``spec`` is part of the contract (number of ground electrodes). Returns ``NotFound`` with
    reason and remedy where shell or tip can't be made out.
    """
    chances = part_chances(view.canonical)
    small = clean_labels(chances)
    plug = small != Part.BACKGROUND
    confidence = float(chances.max(axis=0)[plug].mean()) if plug.any() else 0.0
    if np.mean(small == Part.SHELL) < LEAST_SHELL:
        return NotFound(
            "no plug shell can be made out in this picture",
            "take the photo with the whole firing end and some thread in the frame, on the grey card",
        )
    if np.isin(small, (Part.NOSE, Part.CENTRE_ELECTRODE)).sum() < LEAST_TIP:
        return NotFound(
            "neither insulator nose nor centre electrode can be made out",
            "turn the firing end towards the lamp and the camera, and move closer",
        )
    if confidence < LEAST_CONFIDENCE:
        return NotFound(
            f"the parts of the plug can't be told apart surely enough ({confidence:.0%}, {LEAST_CONFIDENCE:.0%} needed)",
            "take the photo again in even light, in focus on the tip, with one plug on the grey card",
        )
    return Segments(labels=_to_view(chances, small, view), confidence=confidence, canonical_labels=small)


def _to_view(chances: NDArray[np.float32], small: NDArray[np.uint8], view: View) -> NDArray[np.uint8]:
    """Carry the chances to the view's grid; below the crop's frame the plug's silhouette counts as shell."""
    rows, cols = view.pixels.shape[:2]
    matrix = np.asarray(view.canonical_to_view, dtype=np.float64)[:2]
    best = np.full((rows, cols), -1.0, np.float32)
    labels = np.zeros((rows, cols), np.uint8)
    near = [cv2.dilate((small == part).astype(np.uint8), np.ones((3, 3), np.uint8)) for part in Part]
    for part in Part:
        # chances of islands that were dropped must not come back
        plane = np.ascontiguousarray(chances[part] * near[part])
        warped = cv2.warpAffine(plane, matrix, (cols, rows), flags=cv2.INTER_LINEAR, borderValue=-0.5)
        wins = warped > best
        labels[wins] = part
        best = np.maximum(best, warped)
    outside = best < -0.25
    labels[outside] = np.where(view.plug[outside], Part.SHELL, Part.BACKGROUND)
    return labels
