"""The gap as a wire gauge feels it: the smallest local clearance over the electrode's face.

Seen at the tilt ``a`` the outlines of electrode and strap overlap, so the clear gap ``G`` between them is smaller than the
gap ``g``. For an electrode of radius ``r`` and edge radius ``e`` under a flat strap of depth ``w``, in parallel projection,
at the distance ``x`` from the axis (see ``electrode``):

    G(x) = g cos a - |sin a| w / 2 - (v(x) - e cos a)

The overlap ``g cos a - G`` is what the tilt hides. The gap is read a second time, off the look of the tip by the part network, which
errs twice as much but by other causes: the two are pooled, where they differ the uncertainty grows, and where they contradict each
other there is no number.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.features.electrode import FittedElectrode, fit_electrode
from plugsight.features.pooled import pool
from plugsight.features.record import Length
from plugsight.features.tip import Tip
from plugsight.features.uncertainty import Component, combine, length_of
from plugsight.segments.record import Sighting
from plugsight.vocabulary.refusal import NotMeasured

STRAP_REACH_MM, U_STRAP_REACH_MM = 0.82, 0.33
"""How far towards the camera the strap's lower edge lies, half its depth less its rounded corner: a side view can't show it.

Value and spread that removed the drift with tilt on development renders with true outlines (88 views, straps 1.9 to 3.3 mm
deep, a third tapered).
"""
CANTED, U_CANTED = 0.05, 0.055
"""A strap that is canted or lumpy across its depth hangs lower beside the electrode than over it: rise of the clearance over
the electrode per mm that the strap reaches beyond it (development renders)."""
STRAP_HALF_MM = 1.2
LUMPS_MM = 0.018
"""Standard uncertainty from lumps on strap and electrode that the outline shows and a gauge wire passes (development renders)."""
FACE_PX, UNDER_PX, BLUR_SHARE = 0.5, 0.7, 0.45
"""Standard uncertainty of a sharp edge of electrode and strap, pixels of the tip crop, and how it grows per pixel over which
the part map wavers: 0.6, 0.8 and 0.5 by development renders against true masks (66 views: correlation of error and blur 0.7 and
0.6), a tenth to a sixth less since the networks draw sharper: with the look pooled in, 40 of 41 gaps of plugs that no network
saw lay within the stated interval (2026-11-26)."""
MOST_BLUR_PX = 6.0
GAUGE_MM = 0.08
"""Width over which clearance is averaged: the outline's own error is smoothed, a lump that a gauge wire feels is not."""
TOUCHING_PX = 1.0
"""Columns whose clear gap is under a pixel of the tip crop count as touching."""
BRIDGED_SHARE = 0.15
MOST_APART = 1.5
"""Joint standard uncertainties by which outlines and look may differ. Of 45 development gaps 44 lay within 1.03; the one at 1.9 was
1.1 mm wrong, since grit hid the electrode and its rim was taken for the face (2026-11-26)."""


@dataclass(frozen=True, slots=True)
class TipScale:
    """Size of a tip-crop pixel: ``mm`` with relative standard uncertainty ``u_relative``."""

    mm: float
    u_relative: float


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredGap:
    """The gap and the two ends of its line in the tip crop's ``(col, row)``."""

    length: Length
    line: tuple[tuple[float, float], tuple[float, float]]


BRIDGED = NotMeasured(
    "the electrodes look joined: a deposit bridges the gap, they touch, or the gap is too narrow to see",
    "look at the gap with a 10x lens against the light; clear it and gauge it",
)
"""No number stands for a joined gap: dark deposits over a narrow gap look the same (development renders)."""


def measure_gap(
    tip: Tip,
    electrode: FittedElectrode,
    scale: TipScale,
    tilt_deg: tuple[float, float],
    seen_px: Sighting | None,
) -> MeasuredGap | NotMeasured:
    """Measure the gap from edges and fitted electrode, and from what the network reads (``seen_px``, if it does).

    ``tilt_deg`` is the pooled tilt with its standard uncertainty.
    """
    mm = scale.mm
    radius = tip.width * mm / 2
    across = (tip.cols - tip.middle) * mm
    flat = max(radius - 0.3 * electrode.edge_radius_mm, 0.3 * radius)
    used = np.isfinite(tip.under) & (np.abs(across) <= flat)
    if used.sum() < 3:
        return NotMeasured(
            "the strap does not lie over the electrode's face in this view",
            "turn the plug so that the strap is seen from its side, and take the photo again",
        )
    if max(tip.face_blur, tip.under_blur) > MOST_BLUR_PX:
        return NotMeasured(
            "the edges of the gap can't be told from what is round them",
            "take the photo in focus on the tip, in even light, with the plain card behind the gap",
        )
    clear = (tip.face - tip.under)[used] * mm
    local = _averaged(clear, max(1, round(GAUGE_MM / mm)))
    best = int(np.argmin(local))
    col = float(tip.cols[used][best])
    line = ((col, float(tip.under[used][best])), (col, float(tip.face[used][best])))
    cosine, sine = math.cos(math.radians(tilt_deg[0])), abs(math.sin(math.radians(tilt_deg[0])))
    overlap, u_overlap = _overlap(across[used][best], radius, electrode, sine, math.radians(tilt_deg[1]))
    if np.mean(clear <= TOUCHING_PX * mm) > BRIDGED_SHARE:
        return BRIDGED
    outlined = max((float(local[best]) + overlap) / cosine, 0.0)
    causes = (
        Component("outlines of electrode and strap", _outlines(tip) * mm),
        Component("what the tilt hides", u_overlap / cosine),
        Component("lumps on the faces", math.hypot(LUMPS_MM, electrode.misfit_mm)),
    )
    seen = None if seen_px is None else (seen_px.value * mm, seen_px.u * mm)
    if seen and abs(outlined - seen[0]) > MOST_APART * math.hypot(combine(causes)[0], seen[1]):
        return NotMeasured(
            f"two readings of the gap contradict each other: {outlined:.1f} mm by its outlines, {seen[0]:.1f} mm by its look",
            "clear the tip's view (is the electrode's face hidden?) and take the photo again, or use a wire gauge",
        )
    gap, budget = _with_the_look(outlined, causes, seen)
    gap = max(gap, 0.0)
    return MeasuredGap(
        length_of(gap, (*budget, Component("scale from the thread", gap * scale.u_relative))), line
    )


def _with_the_look(
    outlined: float, causes: tuple[Component, ...], seen: tuple[float, float] | None
) -> tuple[float, tuple[Component, ...]]:
    """Pool the gap by outlines with the gap ``seen``; both parts of the result's uncertainty, and what they differ by, are named."""
    u_outlined = combine(causes)[0]
    gap, u = pool((outlined, u_outlined), seen)
    if seen is None:
        return gap, causes
    share = seen[1] ** 2 / (seen[1] ** 2 + u_outlined**2)
    agreeing = math.hypot(share * u_outlined, (1 - share) * seen[1])
    return gap, (
        *(Component(c.source, share * c.u, c.dof) for c in causes),
        Component("look of the tip", (1 - share) * seen[1]),
        Component("outlines and look disagree", math.sqrt(max(u**2 - agreeing**2, 0.0))),
    )


def _outlines(tip: Tip) -> float:
    """Standard uncertainty of both edges together, pixels."""
    face = FACE_PX + BLUR_SHARE * (tip.face_blur - 1.0)
    return math.hypot(face, UNDER_PX + BLUR_SHARE * (tip.under_blur - 1.0))


def _averaged(clear: NDArray[np.float64], window: int) -> NDArray[np.float64]:
    """Running mean over ``window`` columns, shorter at the ends; same size."""
    if clear.size <= window:
        return np.full(clear.size, float(clear.mean()))
    weights = np.ones(window)
    return np.convolve(clear, weights, mode="same") / np.convolve(np.ones(clear.size), weights, mode="same")


def _overlap(
    x_mm: float, radius: float, electrode: FittedElectrode, sine: float, u_tilt: float
) -> tuple[float, float]:
    """Overlap at ``x_mm`` with its standard uncertainty: tilt, unseen depth and cant of the strap."""
    inner = max(radius - electrode.edge_radius_mm, 0.0)
    rim = math.sqrt(max(inner**2 - x_mm**2, 0.0))
    edge = electrode.edge_radius_mm * (1.0 - math.sqrt(1.0 - sine**2))
    lever = rim + STRAP_REACH_MM
    beyond = max(STRAP_HALF_MM - radius, 0.0)
    # near tilt 0 the size of the tilt can't be under 0: a folded error counts by its own spread
    u = math.sqrt(
        (lever * u_tilt) ** 2 + (U_STRAP_REACH_MM * max(sine, u_tilt)) ** 2 + (U_CANTED * beyond) ** 2
    )
    return sine * lever + edge + CANTED * beyond, u


def fit_face(tip: Tip, scale: TipScale, tilt_deg: tuple[float, float]) -> FittedElectrode | None:
    """Fit the electrode to the tip's upper edge; None with fewer than five columns."""
    x = (tip.cols - tip.middle) * scale.mm
    inside = np.abs(x) <= tip.width * scale.mm / 2 - 0.5 * scale.mm
    if inside.sum() < 5:
        return None
    return fit_electrode(
        x[inside],
        -tip.face[inside] * scale.mm,
        tip.width * scale.mm / 2,
        math.sin(math.radians(tilt_deg[0])),
        math.radians(tilt_deg[1]),
    )
