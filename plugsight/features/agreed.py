"""Pose and scale at the gap: what the view measured, held against what the part networks read off the same crops.

Tilt: 0.6 degrees of median error together, 0.7 and 0.8 of the networks alone, 1.3 of the view, which errs by 20 degrees in one view
of ten (86 development renders, 2026-11-26). Scale: the network errs three times as much (2 % against 0.6 %), but not in the
same way: where shine or clutter leads the measurement to a wrong period, it is off by a tenth or more, and the network is not.
"""

import math
from dataclasses import replace

from plugsight.features.pooled import pool
from plugsight.segments.record import Segments
from plugsight.view.record import SIDE_WITHIN_DEG, Pose, Scale, View, ViewKind
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotMeasured
from plugsight.vocabulary.threads import THREADS

LEARNT_DEG = 20.0
"""The networks learnt poses up to 30 degrees and read steeper ones as 20 to 32 (36 to 49 degrees, 9 development renders of
oblique views, 2026-11-26): where either reads more than this, the view's own tilt stands."""
APART = 3.5
"""Standard uncertainties between the two from which neither is believed."""
UNSURE = NotMeasured(
    "the thread's turns can't be counted surely: two ways of reading its pitch disagree",
    "take the photo again in even light, with at least four turns of the thread sharp and in the picture",
)


def agreed(view: View, segments: Segments, spec: PlugSpec) -> View:
    """Return the view with the pose and the scale on which measurement and networks agree."""
    pose = _pose(view.pose, segments)
    return replace(view, pose=pose, scale=_scale(view, pose, segments, spec))


def off_profile(segments: Segments) -> float:
    """How far the strap is from profile, degrees 0 to 90, by the looks of plug and tip; NaN where neither shows it."""
    off = math.nan, math.inf
    for read in (segments.read, segments.tip.read):
        if "off_profile_deg" in read:
            off = pool(off, (read["off_profile_deg"].value, read["off_profile_deg"].u))
    return off[0]


def _pose(pose: Pose, segments: Segments) -> Pose:
    if pose.kind is ViewKind.END:
        return pose
    tilt = pose.tilt_deg, pose.u_tilt_deg
    seen = [read["tilt_deg"] for read in (segments.read, segments.tip.read) if "tilt_deg" in read]
    if any(abs(one.value) > LEARNT_DEG for one in seen):
        return pose
    for one in seen:
        tilt = pool(tilt, (one.value, one.u))
    kind = ViewKind.SIDE if abs(tilt[0]) <= SIDE_WITHIN_DEG else ViewKind.OBLIQUE
    return replace(pose, kind=kind, tilt_deg=tilt[0], u_tilt_deg=tilt[1])


def _scale(view: View, pose: Pose, segments: Segments, spec: PlugSpec) -> Scale | NotMeasured:
    """Weighted mean of both; the network's alone where the view could not read a thread whose size is known."""
    measured = view.scale
    if isinstance(measured, Scale):
        measured = _at_tilt(measured, view.pose.tilt_deg, pose.tilt_deg)
    name = measured.thread if isinstance(measured, Scale) else spec.thread or ""
    pitch = segments.read.get("pitch_px")
    if pitch is None or pose.kind is ViewKind.END or name not in THREADS or not pitch.value > 0:
        return measured
    mm = THREADS[name].pitch_mm / (pitch.value * math.sqrt(abs(_magnified(view))))
    seen = Scale(mm, mm * pitch.u / pitch.value, name, 0)
    if isinstance(measured, NotMeasured):
        return seen
    if abs(measured.mm_per_px - seen.mm_per_px) > APART * math.hypot(measured.u_mm_per_px, seen.u_mm_per_px):
        return UNSURE
    both, u = pool((measured.mm_per_px, measured.u_mm_per_px), (seen.mm_per_px, seen.u_mm_per_px))
    return replace(measured, mm_per_px=both, u_mm_per_px=u)


def _at_tilt(scale: Scale, was_deg: float, is_deg: float) -> Scale:
    """The scale as it would have come out had the tilt been known: a pitch looks shorter, and the gap is nearer or farther."""

    def share(tilt_deg: float) -> float:
        tilt = math.radians(tilt_deg)
        return math.cos(tilt + scale.lever) * (1 - scale.lever * math.sin(tilt + scale.lever / 2))

    change = share(is_deg) / share(was_deg)
    return replace(scale, mm_per_px=scale.mm_per_px * change, u_mm_per_px=scale.u_mm_per_px * change)


def _magnified(view: View) -> float:
    """Area of a canonical pixel in view pixels."""
    (a, b, _), (c, d, _) = view.canonical_to_view[:2].tolist()
    return float(a * d - b * c)
