"""The benchmark's printed figures, in the order of what was asked."""

import math
from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np

from plugsight.features.benchmark import decisions, refusals
from plugsight.features.benchmark.case import Case
from plugsight.features.benchmark.figures import BINS, Share, covered, median_expanded, spread
from plugsight.features.geometry import TILT_LIMIT_DEG
from plugsight.segments.record import Part
from plugsight.view.fitness import NEEDED_PX_PER_MM
from plugsight.vocabulary.quality import Quality

LIMITS = "side view, strap within 20 deg of profile, >= 28 px/mm, electrode >= 1.5 mm"
FLAGGED_FROM_DEG = 8
GOALS = {(0, 3): (0.02, 0.06), (3, 8): (0.04, 0.10), (FLAGGED_FROM_DEG, 12): (math.nan, math.nan)}
IOU_GOALS = {Part.SHELL: 0.95, Part.NOSE: 0.90, Part.GROUND_ELECTRODE: 0.88, Part.CENTRE_ELECTRODE: 0.85}
WIDE_PX = 30
FINE_WIRE_MM = 0.8


def in_limits(case: Case) -> bool:
    """Whether the truth of a picture meets the stated limits (tilt apart)."""
    t = case.truth
    return (
        t.kind == "side" and t.gap_axial and t.gap_wire_mm > 0.05 and t.off_profile_deg <= 20.0
        and t.px_per_mm >= NEEDED_PX_PER_MM and t.electrode_mm >= 1.5
    )  # fmt: skip


def lines(cases: Sequence[Case]) -> Iterator[str]:
    """Every figure, one line each."""
    yield f"pictures: {len(cases)}"
    yield f"stopped before features: {dict(Counter(c.stage for c in cases if c.stage))}"
    within = [c for c in cases if in_limits(c)]
    yield f"within the limits ({LIMITS}): {len(within)}"
    yield from _gap(within)
    yield from _uncertainty(cases)
    yield from decisions.lines(within, cases)
    yield from refusals.lines(cases, [c for c in within if abs(c.truth.tilt_deg) <= TILT_LIMIT_DEG])
    yield from _pose(cases)
    yield from _parts(cases)


def _gap(within: Sequence[Case]) -> Iterator[str]:
    for (low, high), (median, p95) in GOALS.items():
        held = [c for c in within if low <= abs(c.truth.tilt_deg) < high]
        goal = "flagged" if math.isnan(median) else f"goal median {median}, P95 {p95}"
        yield f"gap error (mm), tilt {low} to {high}: {spread([c.gap_error_mm for c in held])} ({goal})"
        for deposit in ("ash", "wet oil"):
            part = [c.gap_error_mm for c in held if c.truth.deposit == deposit]
            yield f"  of these {deposit}: {spread(part)}"
        if low == FLAGGED_FROM_DEG:
            told = [Quality.TILTED in c.flags or not c.answered for c in held]
            yield f"  flagged as tilted, or refused: {Share(sum(told), len(told))}"


def _uncertainty(cases: Sequence[Case]) -> Iterator[str]:
    answered = [c for c in cases if c.answered and c.truth.gap_axial]
    yield f"95 % interval holds the truth, all measured: {covered(answered)} (goal 93 to 99 %)"
    if answered:
        yield f"median U {median_expanded(answered):.3f} mm, {_ratio(answered):.2f} times the median error (goal at most 3)"
    for bins in BINS:
        for name, held in bins.groups(answered):
            yield (
                f"  {bins.name} {name}: held {covered(held)}, U {median_expanded(held):.3f} "
                f"= {_ratio(held):.1f} median errors, {spread([c.gap_error_mm for c in held])}"
            )


def _ratio(answered: Sequence[Case]) -> float:
    """Median expanded uncertainty over median absolute error."""
    error = float(np.median([abs(c.gap_error_mm) for c in answered]))
    return median_expanded(answered) / error if error > 0 else math.inf


def _pose(cases: Sequence[Case]) -> Iterator[str]:
    side = [c for c in cases if c.truth.kind == "side" and abs(c.truth.tilt_deg) <= TILT_LIMIT_DEG]
    yield f"scale error (share): {spread([c.scale_error for c in side])} (goal median 0.003)"
    named = [c for c in cases if c.unnamed_size]
    wrong = Counter(
        f"{c.truth.thread} taken for {c.unnamed_size}" for c in named if c.unnamed_size != c.truth.thread
    )
    yield f"thread size without being told: named {Share(len(named), len(cases))}, wrong {wrong.total()} (goal 0) {dict(wrong)}"
    yield f"tilt error (deg), pooled: {spread([c.tilt_error_deg for c in side])} (goal median 1)"
    yield f"  by the view: {spread([c.view_tilt_error_deg for c in side])}"
    yield f"  by the look of the tip: {spread([c.seen_tilt_error_deg for c in side])}"
    rounded = [c for c in side if math.isfinite(c.edge_mm)]
    held = sum(abs(c.edge_mm - c.truth.edge_radius_mm) <= c.U_edge_mm for c in rounded)
    wide = [c for c in rounded if c.truth.electrode_mm >= 1.5 and c.truth.px_per_mm >= NEEDED_PX_PER_MM]
    yield f"edge radius error (mm): {spread([c.edge_mm - c.truth.edge_radius_mm for c in wide])} (goal median 0.08)"
    yield f"  its 95 % interval holds the truth, all electrodes: {Share(held, len(rounded))}"


def _parts(cases: Sequence[Case]) -> Iterator[str]:
    for title, held in (
        ("side", [c for c in cases if c.truth.kind == "side"]),
        ("oblique", [c for c in cases if c.truth.kind == "oblique"]),
        ("end", [c for c in cases if c.truth.kind == "end"]),
        ("fine wire", [c for c in cases if c.truth.electrode_mm <= FINE_WIRE_MM]),
    ):
        every: list[float] = []
        for part, goal in IOU_GOALS.items():
            scores = [score for c in held for p, score in c.parts if p is part]
            wide = [s.iou for s in scores if s.px >= WIDE_PX]
            boundary = [s.boundary_mm for s in scores if math.isfinite(s.boundary_mm)]
            every += boundary
            if scores:
                mean = f"{np.mean(wide):.3f}" if wide else "none"
                yield (
                    f"{title} {part.name.lower()}: IoU mean {mean} (n {len(wide)} at least {WIDE_PX} px wide; goal {goal}), "
                    f"boundary median {np.median(boundary) if boundary else math.nan:.3f} mm"
                )
        if every:
            yield f"{title} all parts: boundary median {np.median(every):.3f} mm (goal 0.05)"
