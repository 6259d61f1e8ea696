"""Millimetres per pixel from the thread's period, and what contradicts the plug spec."""

import numpy as np

from plugsight.view.flanks import FlankPeriod
from plugsight.view.record import Pose, Scale
from plugsight.view.ruler import Period
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotMeasured
from plugsight.vocabulary.threads import THREADS, Thread

DISTANCE_MM = 130.0
"""Camera distance taken where the photo doesn't tell it; phones focus on a plug from 80 to 250 mm (common practice)."""

_U_FLANK = 0.03
"""Relative standard uncertainty of a period read on the flanks after allowing for their depth (first study: +6 % raw)."""

SIGMAS = 3.0
"""Threads are told apart, and the spec contradicted, only at this many standard uncertainties."""


def scale_of(
    period: Period | None, flank: FlankPeriod, width_px: float, pose: Pose, spec: PlugSpec
) -> Scale | NotMeasured:
    """Scale in the plane of the plug's axis.

    One pitch spans ``period`` pixels when seen at right angles and cos(tilt) of that when tilted. The silhouette's crests lie
    r^2/D nearer than the axis (r = thread radius, D = camera distance), the flanks' front r nearer.
    """
    if period is not None:
        px, u_relative, crests, nearer = period.px, period.u_px / period.px, period.crests, 0.0
    else:
        px, u_relative, crests, nearer = flank.px, _U_FLANK, flank.crests, 0.85
    lean = np.cos(np.radians(pose.tilt_deg))
    u_lean = np.tan(np.radians(abs(pose.tilt_deg))) * np.radians(pose.u_tilt_deg)
    thread = _thread(px / lean, np.hypot(u_relative, u_lean), width_px, spec)
    if isinstance(thread, NotMeasured):
        return thread
    radius = thread.diameter_mm / 2
    depth = nearer * radius * lean / DISTANCE_MM + (1 - nearer) * (radius / DISTANCE_MM) ** 2
    mm_per_px = thread.pitch_mm * lean / px * (1 + depth)
    u = float(np.sqrt(u_relative**2 + u_lean**2 + (0.4 * depth) ** 2))
    return Scale(
        mm_per_px=float(mm_per_px), u_mm_per_px=float(mm_per_px * u), thread=thread.name, crests=int(crests)
    )


def _thread(upright_px: float, u_relative: float, width_px: float, spec: PlugSpec) -> Thread | NotMeasured:
    """Thread named by the spec; without one, the only size that the width-to-pitch ratio allows."""
    if spec.thread is not None:
        if spec.thread in THREADS:
            return THREADS[spec.thread]
        return NotMeasured(
            f"the plug spec's thread {spec.thread} is not one that is known", "Say which thread the plug has"
        )
    ratio = width_px / upright_px
    u_ratio = float(np.hypot(u_relative, 0.02)) * ratio
    fits = [t for t in THREADS.values() if abs(t.diameter_mm / t.pitch_mm - ratio) < SIGMAS * u_ratio]
    if len(fits) == 1:
        return fits[0]
    return NotMeasured(
        f"the thread's size can't be told from the photo (width {ratio:.1f} times the pitch)",
        "Say which thread the plug has",
    )
