"""How far the insulator nose stands out of the shell face."""

import math

import numpy as np
from numpy.typing import NDArray

from plugsight.features.record import Length
from plugsight.features.uncertainty import Component, length_of
from plugsight.segments.record import Part
from plugsight.view.record import Pose, Scale, ViewKind
from plugsight.vocabulary.refusal import NotMeasured


def measure_projection(
    labels: NDArray[np.uint8], face_row: float, pose: Pose, scale: Scale | NotMeasured
) -> Length | NotMeasured:
    """Projection in mm, positive beyond the face, from the nose's top to the shell face on the axis.

    ``face_row`` is the row of the face's nearest rim; seen at tilt ``a`` the face's middle lies ``r sin a`` above it.
    """
    if isinstance(scale, NotMeasured):
        return NotMeasured(f"no scale: {scale.reason}", scale.remedy)
    nose = labels == Part.NOSE
    widths = np.count_nonzero(nose, axis=1)
    if pose.kind is not ViewKind.SIDE or widths.max(initial=0) < 8 or not math.isfinite(face_row):
        return NotMeasured(
            "the nose's projection needs a side view with the nose in sight", "take a photo from the side"
        )
    top = float(np.argmax(widths >= 0.25 * widths.max())) - 0.5
    mm = scale.mm_per_px
    tilt = math.radians(pose.tilt_deg)
    shell = np.count_nonzero(labels == Part.SHELL, axis=1)
    rim = float(np.percentile(shell[shell > 0], 75)) * mm / 2
    tip = float(np.percentile(widths[widths > 0], 20)) * mm / 2
    length = ((face_row - top) * mm - (rim + tip) * math.sin(tilt)) / math.cos(tilt)
    return length_of(
        length,
        (
            Component("outlines of nose and shell face", 2.0 * mm),
            Component("tilt", (rim + tip) * math.radians(pose.u_tilt_deg)),
            Component("scale from the thread", abs(length) * scale.u_mm_per_px / mm),
        ),
    )
