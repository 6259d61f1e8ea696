"""Flags that can be raised only when the parts are known: a strap out of profile, a nose in the shell's shade."""

import math
from collections.abc import Mapping

from plugsight.segments.record import TipMap
from plugsight.view.record import ViewKind
from plugsight.vocabulary.quality import Quality, QualityNote

PROFILE_WARN_DEG = 20.0
"""Beyond it the near edge of the gap starts to hide behind the strap; the gap is refused beyond 30 (see ``geometry``)."""

SHADED_SHARE, SHADED_FALL_L = 0.65, 15.0
"""A nose counts as shaded where its lightness falls by the second from tip to root and shade explains the first of that.

The share is where the catalogue's words turn to "shaded"; the fall is as large as the step from tan to brown (judgement)."""


def flags_on(kind: ViewKind, fine: TipMap | None, values: Mapping[str, float]) -> tuple[QualityNote, ...]:
    """Flags of one view; ``values`` are catalogue values by name, NaN where not measured."""
    return (*_on_profile(kind, fine), *_on_shade(values))


def _on_profile(kind: ViewKind, fine: TipMap | None) -> tuple[QualityNote, ...]:
    off = None if fine is None else fine.off_profile_deg
    if kind is not ViewKind.SIDE or off is None or not off.value > PROFILE_WARN_DEG:
        return ()
    words = f"the strap looks {off.value:.0f} degrees out of profile; {PROFILE_WARN_DEG:.0f} is the most for a sure gap"
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
