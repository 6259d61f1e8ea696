"""Is the photo fit to measure? Each test that fails is a flag with its remedy, in words for the bench."""

from plugsight.view.axis import Axis
from plugsight.view.record import Card, Pose, Scale, ViewKind
from plugsight.view.upright import Upright
from plugsight.vocabulary.quality import Quality, QualityNote
from plugsight.vocabulary.refusal import NotMeasured

NEEDED_PX_PER_MM = 28.0
"""Pixels per millimetre below which a gap can't be measured to 0.02 mm (edges are good to about half a pixel)."""

TILT_WARN_DEG, TILT_LIMIT_DEG = 8.0, 12.0
"""Beyond the first the gap is flagged, beyond the second refused."""


def notes_on(
    upright: Upright, card: Card | NotMeasured, pose: Pose, scale: Scale | NotMeasured, axis: Axis
) -> tuple[QualityNote, ...]:
    """Flags of one view, in the order of their numbers."""
    notes: list[QualityNote] = []
    if isinstance(card, NotMeasured):
        notes.append(QualityNote(Quality.NO_CARD, f"{card.reason}: colours can't be trusted", card.remedy))
    if isinstance(scale, NotMeasured):
        notes.append(QualityNote(Quality.NO_SCALE, scale.reason, scale.remedy))
    else:
        density = axis.width / upright.width / scale.mm_per_px
        if density < NEEDED_PX_PER_MM:
            words = f"{density:.0f} pixels per millimetre, {NEEDED_PX_PER_MM:.0f} needed"
            notes.append(
                QualityNote(Quality.TOO_FEW_PIXELS, words, "Move closer, or use the phone's full resolution")
            )
    if pose.kind is ViewKind.SIDE and abs(pose.tilt_deg) > TILT_WARN_DEG:
        words = (
            f"the plug leans {abs(pose.tilt_deg):.0f} degrees, {TILT_WARN_DEG:.0f} is the most for a sure gap"
        )
        remedy = "Lower the camera" if pose.tilt_deg > 0 else "Raise the camera towards the firing end"
        notes.append(QualityNote(Quality.TILTED, words, f"{remedy} until it looks square at the gap"))
    return tuple(notes)
