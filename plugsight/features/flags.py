"""Flags that can be raised only when the parts are known: tilt, a strap out of profile, a nose in the shell's shade."""

import math
from collections.abc import Mapping

from plugsight.view.record import Pose, ViewKind
from plugsight.vocabulary.quality import Quality, QualityNote

TILT_WARN_DEG = 8.0
"""Beyond it the gap is flagged; ``geometry`` refuses beyond 12."""
PROFILE_WARN_DEG = 20.0
"""Beyond it the near edge of the gap starts to hide behind the strap; the gap is refused beyond 30 (see ``geometry``)."""

SHADED_SHARE, SHADED_FALL_L = 0.65, 15.0
"""A nose counts as shaded where its lightness falls by the second from tip to root and shade explains the first of that.

The share is where the catalogue's words turn to "shaded"; the fall is as large as the step from tan to brown (judgement)."""


def flags_on(pose: Pose, off: float, values: Mapping[str, float]) -> tuple[QualityNote, ...]:
    """Flags of one view; ``off`` the strap's degrees from profile, ``values`` catalogue values by name; NaN not measured."""
    return (*_on_tilt(pose), *_on_profile(pose.kind, off), *_on_shade(values))


def _on_tilt(pose: Pose) -> tuple[QualityNote, ...]:
    tilt = pose.tilt_deg
    if pose.kind is not ViewKind.SIDE or abs(tilt) <= TILT_WARN_DEG:
        return ()
    words = f"the camera looks {abs(tilt):.0f} degrees {'onto the end' if tilt > 0 else 'from below'}"
    remedy = "Hold the camera square to the gap" + (": lower" if tilt > 0 else ": nearer the firing end")
    return (QualityNote(Quality.TILTED, f"{words}; {TILT_WARN_DEG:.0f} is the most for a sure gap", remedy),)


def _on_profile(kind: ViewKind, off: float) -> tuple[QualityNote, ...]:
    if kind is not ViewKind.SIDE or not off > PROFILE_WARN_DEG:
        return ()
    words = (
        f"the strap looks {off:.0f} degrees out of profile; {PROFILE_WARN_DEG:.0f} is the most for a sure gap"
    )
    remedy = "Turn the plug about its axis until the strap is seen from its side"
    return (QualityNote(Quality.STRAP_NOT_IN_PROFILE, words, remedy),)


def _on_shade(values: Mapping[str, float]) -> tuple[QualityNote, ...]:
    share = values.get("nose_shaded", math.nan)
    fall = values.get("nose_band_tip_L", math.nan) - values.get("nose_band_root_L", math.nan)
    if not (share >= SHADED_SHARE and fall >= SHADED_FALL_L):
        return ()
    words = f"the nose lies in the shell's shade: it darkens by {fall:.0f} L* towards the bore without changing colour"
    remedy = "Let the light fall into the bore from the camera's side, and don't take the dark root for soot"
    return (QualityNote(Quality.SHADED_NOSE, words, remedy),)
