"""Edge radius of the centre electrode from its outline."""

import math

import numpy as np

from plugsight.features.record import Length
from plugsight.features.tip import Tip
from plugsight.features.uncertainty import Component, length_of
from plugsight.view.record import Pose, Scale, ViewKind
from plugsight.vocabulary.refusal import NotMeasured

FEWEST_ACROSS_PX = 12
"""An electrode narrower than this on the picture shows no edge radius."""


def measure_edge_radius(tip: Tip, pose: Pose, scale: Scale | NotMeasured) -> Length | NotMeasured:
    """Radius in mm from the corner area that the outline lacks.

    A corner rounded with radius e lacks ``e^2 (1 - pi / 4)`` of its square; the tilt's own dip, that of an ellipse of
    half height ``r |sin a|``, is taken off first: ``r^2 |sin a| (2 - pi / 2)`` over both corners.
    """
    if isinstance(scale, NotMeasured):
        return NotMeasured(f"no scale: {scale.reason}", scale.remedy)
    if pose.kind is ViewKind.END or tip.width < FEWEST_ACROSS_PX:
        return NotMeasured(
            "the centre electrode's edge is too small in this view to show its rounding",
            "take a photo from the side and move closer",
        )
    mm = scale.mm_per_px
    radius = tip.width * mm / 2
    top = float(np.percentile(tip.face, 10))
    deep = np.clip((tip.face - top) * mm, 0.0, radius)
    lacking = float(deep.sum()) * mm - radius**2 * abs(math.sin(math.radians(pose.tilt_deg))) * (
        2 - math.pi / 2
    )
    edge = math.sqrt(max(lacking, 0.0) / (2 - math.pi / 2))
    edge = min(edge, radius)
    u_area = 0.5 * mm * 2 * radius
    u = min(radius / 2, u_area / (2 * (2 - math.pi / 2) * max(edge, 0.1)))
    return length_of(edge, (Component("outline of the electrode", u),))
