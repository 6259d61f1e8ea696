"""Edge radius of the centre electrode, from the fitted outline.

The part network also reads a radius off the crop; on plugs kept aside in development it erred three times as much as the
outline, so it is not used.
"""

from plugsight.features.electrode import FittedElectrode
from plugsight.features.gap import TipScale
from plugsight.features.record import Length
from plugsight.features.uncertainty import Component, length_of
from plugsight.vocabulary.refusal import NotMeasured

FEWEST_ACROSS_PX = 12
"""An electrode narrower than this on the tip crop shows no edge radius."""


def measure_edge_radius(
    electrode: FittedElectrode | None, width_px: float, scale: TipScale
) -> Length | NotMeasured:
    """Radius in mm; a rounding of the whole tip reads as half the electrode's width."""
    if electrode is None or width_px < FEWEST_ACROSS_PX:
        return NotMeasured(
            "the centre electrode's edge is too small in this picture to show its rounding",
            "take a photo from the side and move closer; look at the edge with a 10x lens",
        )
    radius = min(max(electrode.edge_radius_mm, 0.0), width_px * scale.mm / 2)
    u = electrode.u_edge_radius_mm
    return length_of(
        radius,
        (
            Component("outline of the electrode", u),
            Component("scale from the thread", radius * scale.u_relative),
        ),
    )
