"""Millimetres per pixel from the thread's period, and what contradicts the plug spec."""

import numpy as np

from plugsight.view.crests import SURE_SHARE
from plugsight.view.record import Scale, ThreadReading
from plugsight.view.ruler import FRONT_DEPTH
from plugsight.view.stance import Stance
from plugsight.view.thread import Shell
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotMeasured
from plugsight.vocabulary.threads import THREADS, Thread

_U_FLANK = 0.006
"""Relative standard uncertainty of the flanks' period itself (development renders: 0.4 % median once the distance is known)."""

_U_REST = 0.007
"""Relative standard uncertainty of what isn't modelled: off-axis perspective, crests worn or rusty (development renders: the rest
covered two errors in three)."""

SIGMAS = 3.0
"""Threads are told apart, and the spec contradicted, only at this many standard uncertainties."""

_AS_CUT, _U_AS_CUT = 0.990, 0.006
"""Major diameter as cut over nominal: ISO 965-1 class 6g puts M14x1.25 between 13.760 and 13.972 mm."""


def scale_of(shell: Shell, stance: Stance, spec: PlugSpec) -> Scale | NotMeasured:
    """Scale at the gap, by the stance that the turns show; ``NotMeasured`` where the thread's size is not known."""
    reading = _read(shell, stance)
    px, u_px = _flat_period(reading, reading.nearness)
    lean = float(np.cos(np.radians(stance.thread_tilt_deg)))
    u_shape = float(np.hypot(u_px, _u_lean(stance.thread_tilt_deg, stance.u_tilt_deg)))
    sure = shell.period is not None and shell.period.share >= SURE_SHARE
    thread = _thread(px / lean, u_shape, shell.width_px, spec, sure=sure)
    if isinstance(thread, NotMeasured):
        return thread
    crests = shell.flank.crests if shell.period is None else shell.period.crests
    tilt = stance.gap_tilt_deg, stance.u_tilt_deg
    return scale_at(reading, thread.name, int(crests), tilt, reading.nearness)


def scale_at(
    reading: ThreadReading,
    thread: str,
    crests: int,
    tilt_deg: tuple[float, float],
    nearness: tuple[float, float],
) -> Scale:
    """Scale in the plane of the plug's axis at the gap, from what was read of a ``thread`` seen at that tilt and nearness.

    ``tilt_deg`` at the gap and ``nearness`` come with their standard uncertainties. One pitch spans the period when seen at right angles and
    cos(tilt) of that when tilted. The silhouette's crests lie r^2/D nearer than the axis (r = thread radius, D = camera
    distance), the flanks' front nearly r nearer; and the gap stands nearer than the thread by its height times sin(tilt). A line of
    sight to the thread's middle, h below the gap, is h/D steeper.
    """
    px, u_px = _flat_period(reading, nearness)
    near, u_near = nearness[0], nearness[1] / nearness[0]
    lever, tilt = reading.height * near, float(np.radians(tilt_deg[0]))
    silhouette, gap_nearer = near**2, lever * float(np.sin(tilt + lever / 2))
    lean = float(np.cos(tilt + lever))
    mm = THREADS[thread].pitch_mm * lean / px * (1 + silhouette) * (1 - gap_nearer)
    u = np.sqrt(
        u_px**2
        + _u_lean(tilt_deg[0] + float(np.degrees(lever)), tilt_deg[1]) ** 2
        + (2 * u_near * silhouette) ** 2
        + (u_near * gap_nearer) ** 2
        + _U_REST**2
    )
    return Scale(float(mm), float(mm * u), thread, crests, reading)


def _read(shell: Shell, stance: Stance) -> ThreadReading:
    sides = None if shell.period is None else (shell.period.px, shell.period.u_px)
    return ThreadReading(shell.flank.px, sides, stance.height, (stance.nearness, stance.u_nearness))


def _u_lean(tilt_deg: float, u_tilt_deg: float) -> float:
    return float(np.tan(np.radians(abs(tilt_deg))) * np.radians(u_tilt_deg))


def _flat_period(reading: ThreadReading, nearness: tuple[float, float]) -> tuple[float, float]:
    """Period on the silhouette and its relative standard uncertainty: the sides' own, weighed with the front's."""
    depth = FRONT_DEPTH * nearness[0]
    front = reading.front_px / (1 + depth)
    u_front = float(np.hypot(_U_FLANK, FRONT_DEPTH * nearness[1]))
    if reading.sides_px is None:
        return front, u_front
    sides, u_sides = reading.sides_px[0], reading.sides_px[1] / reading.sides_px[0]
    share = u_front**2 / (u_front**2 + u_sides**2)
    blend = share * sides + (1 - share) * front
    apart = abs(sides / front - 1)
    return blend, float(np.sqrt(share) * u_sides * max(1.0, apart / (2 * np.hypot(u_front, u_sides))))


def contradiction(shell: Shell, stance: Stance, scale: Scale) -> str | None:
    """Words for a width-to-pitch ratio that the thread of ``scale`` can't have, or None where it can."""
    ratio, u_ratio = _ratio(shell, stance)
    thread = THREADS[scale.thread]
    if abs(_as_cut(thread) - ratio) <= SIGMAS * u_ratio:
        return None
    return (
        f"the thread looks {ratio:.1f} pitches wide, give or take {SIGMAS * u_ratio:.1f}; "
        f"{thread.name} would be {_as_cut(thread):.1f}"
    )


def _ratio(shell: Shell, stance: Stance) -> tuple[float, float]:
    px, u = _flat_period(_read(shell, stance), (stance.nearness, stance.u_nearness))
    lean = float(np.cos(np.radians(stance.thread_tilt_deg)))
    u_lean = _u_lean(stance.thread_tilt_deg, stance.u_tilt_deg)
    ratio = shell.width_px / px * lean
    return ratio, ratio * float(np.sqrt(u**2 + u_lean**2 + _U_AS_CUT**2 + _U_EDGES**2))


_U_EDGES = 0.03
"""Relative standard uncertainty of the width across the crests: shadow and clutter widen it (development renders: 1 % median, 12 %
at worst). It keeps sizes that lie near each other apart from guessing."""


def _as_cut(thread: Thread) -> float:
    return _AS_CUT * thread.diameter_mm / thread.pitch_mm


def _thread(
    upright_px: float, u_relative: float, width_px: float, spec: PlugSpec, *, sure: bool
) -> Thread | NotMeasured:
    """Thread named by the spec; without one, the only size that the width-to-pitch ratio allows.

    Without a spec a size is named only from a silhouette whose period is ``sure``: the front's brightness can show half of
    or one and a half times the pitch, and a wrong size is worse than a question.
    """
    if spec.thread is not None:
        if spec.thread in THREADS:
            return THREADS[spec.thread]
        return NotMeasured(
            f"the plug spec's thread {spec.thread} is not a known size", "Say which thread the plug has"
        )
    ratio = width_px / upright_px
    u_ratio = float(np.sqrt(u_relative**2 + _U_AS_CUT**2 + _U_EDGES**2)) * ratio
    fits = [t for t in THREADS.values() if abs(_as_cut(t) - ratio) < SIGMAS * u_ratio]
    if len(fits) == 1 and sure:
        return fits[0]
    could = " or ".join(t.name for t in fits) or "no known size"
    return NotMeasured(
        f"the thread's size can't be told from the photo: {ratio:.1f} pitches wide fits {could}",
        "Say which thread the plug has",
    )
