"""What the engine's list asks of its plugs must be possible before anything is judged by it."""

import math
from collections.abc import Iterator
from difflib import get_close_matches

from plugsight.readings.gap_text import GAP_LIMITS_MM
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.threads import THREADS

MOST_GROUND_ELECTRODES = 4


def check_spec(spec: PlugSpec) -> None:
    """Raise one ``InputError`` that lists everything about a plug's facts that can't be right."""
    problems = list(_problems(spec))
    if len(problems) == 1:
        raise problems[0]
    if problems:
        lines = "\n".join(f"- {problem}" for problem in problems)
        raise InputError("plug facts", f"{len(problems)} fields can't be right", lines)


def _problems(spec: PlugSpec) -> Iterator[InputError]:
    if spec.thread is not None and spec.thread not in THREADS:
        nearest = get_close_matches(spec.thread, THREADS, n=1)
        remedy = f"Did you mean {nearest[0]}?" if nearest else f"Use one of: {', '.join(THREADS)}."
        yield InputError("thread", "not a spark plug thread plugsight knows", remedy, spec.thread)
    if not 0 <= spec.ground_electrodes <= MOST_GROUND_ELECTRODES:
        yield InputError(
            "ground electrodes",
            f"0 (surface gap) to {MOST_GROUND_ELECTRODES}",
            "Count the straps.",
            spec.ground_electrodes,
        )
    low, high = GAP_LIMITS_MM
    if spec.gap_mm is not None and not low <= spec.gap_mm[0] <= spec.gap_mm[1] <= high:
        yield InputError(
            "gap", f"lowest then highest, {low} to {high} mm", "Copy it from the engine's list.", spec.gap_mm
        )
    for name, limits in (("resistance", spec.resistance_ohm), ("torque", spec.torque_nm)):
        if limits is not None and not (0 <= limits[0] <= limits[1] and math.isfinite(limits[1])):
            yield InputError(
                name, "lowest then highest, zero or more", "Copy it from the list again.", limits
            )
    if spec.centre_electrode_mm is not None and not 0.2 <= spec.centre_electrode_mm <= 6:
        yield InputError(
            "centre electrode",
            "0.2 to 6 mm in diameter",
            "Measure it again, or leave it out.",
            spec.centre_electrode_mm,
        )
