"""Edge radius of the centre electrode: from the fitted outline, and from what the part network reads off the crop.

On 76 development renders (2026-11-26) the median error was 0.10 mm by the outline alone, 0.08 mm by the network alone and 0.07
mm by both; of wide electrodes seen closely (17) the outline is the better of the two.
"""

from plugsight.features.electrode import FittedElectrode
from plugsight.features.gap import TipScale
from plugsight.features.pooled import pool
from plugsight.features.record import Length
from plugsight.features.uncertainty import Component, length_of
from plugsight.segments.record import Sighting
from plugsight.vocabulary.refusal import NotMeasured

WIDER = 2.5
"""Factor on the fit's own uncertainty: a deposit on the edge is no noise to it. With this, two thirds of the pooled errors lay within
the stated standard uncertainty, and 93 % within the expanded one (the same renders)."""
FEWEST_ACROSS_PX = 12
"""An electrode narrower than this on the tip crop shows no edge radius."""


def measure_edge_radius(
    electrode: FittedElectrode | None, width_px: float, scale: TipScale, seen_px: Sighting | None
) -> Length | NotMeasured:
    """Radius in mm; a rounding of the whole tip reads as half the electrode's width. ``seen_px``: what the network reads."""
    if electrode is None or width_px < FEWEST_ACROSS_PX:
        return NotMeasured(
            "the centre electrode's edge is too small in this picture to show its rounding",
            "take a photo from the side and move closer; look at the edge with a 10x lens",
        )
    fitted = electrode.edge_radius_mm, WIDER * electrode.u_edge_radius_mm
    both, u = pool(fitted, None if seen_px is None else (seen_px.value * scale.mm, seen_px.u * scale.mm))
    radius = min(max(both, 0.0), width_px * scale.mm / 2)
    return length_of(
        radius,
        (
            Component("outline and look of the electrode", u),
            Component("scale from the thread", radius * scale.u_relative),
        ),
    )
