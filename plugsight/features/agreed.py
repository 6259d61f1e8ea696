"""Pose and scale at the gap: what the view measured, held against what the part networks read off the same crops.

Tilt: 0.4 degrees of median error together, 0.4 of the look of the tip alone, 1.8 of the view, which errs by 15 degrees in one view
of twenty (84 development renders of side views, 2026-11-26). Scale: the network errs twice as much (1.4 % against 0.6 %), but not in the
same way: where shine or clutter leads the measurement to a wrong period, it is off by a tenth or more, and the network is not.
"""

import math
from dataclasses import replace

from plugsight.features.pooled import pool
from plugsight.segments.record import Segments
from plugsight.view.record import SIDE_WITHIN_DEG, Pose, Scale, View, ViewKind
from plugsight.view.scale import scale_at
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotMeasured
from plugsight.vocabulary.threads import THREADS

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
    for one in seen:
        tilt = pool(tilt, (one.value, one.u))
    kind = ViewKind.SIDE if abs(tilt[0]) <= SIDE_WITHIN_DEG else ViewKind.OBLIQUE
    return replace(pose, kind=kind, tilt_deg=tilt[0], u_tilt_deg=tilt[1])


def _scale(view: View, pose: Pose, segments: Segments, spec: PlugSpec) -> Scale | NotMeasured:
    """Weighted mean of both; the network's alone where the view could not read a thread whose size is known."""
    measured = view.scale
    if isinstance(measured, Scale):
        measured = _set_right(measured, pose, segments)
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


def _set_right(scale: Scale, pose: Pose, segments: Segments) -> Scale:
    """The scale as the same reading of the thread gives it at the agreed tilt, and at the distance that the plug's looks show too."""
    if scale.reading is None:
        return scale
    seen = segments.read.get("nearness")
    near = pool(scale.reading.nearness, (seen.value, seen.u) if seen is not None and seen.value > 0 else None)
    tilt = pose.tilt_deg, pose.u_tilt_deg
    return scale_at(scale.reading, scale.thread, scale.crests, tilt, near)


def _magnified(view: View) -> float:
    """Area of a canonical pixel in view pixels."""
    (a, b, _), (c, d, _) = view.canonical_to_view[:2].tolist()
    return float(a * d - b * c)
