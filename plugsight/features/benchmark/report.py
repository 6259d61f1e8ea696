"""The benchmark's printed figures, in the order of what was asked."""

import math
from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np

from plugsight.features.benchmark.case import Case
from plugsight.features.benchmark.figures import BINS, Share, covered, median_expanded, spread
from plugsight.features.record import Length
from plugsight.features.warning import judge_gap
from plugsight.segments.record import Part

LIMITS = "side view, strap within 20 deg of profile, >= 28 px/mm, electrode >= 1.5 mm"
GOALS = {(0, 3): (0.02, 0.06), (3, 8): (0.04, 0.10), (8, 12): (math.nan, math.nan)}


def in_limits(case: Case) -> bool:
    """Whether the truth of a picture meets the stated limits (tilt apart)."""
    t = case.truth
    return (
        t.kind == "side" and t.gap_axial and t.gap_wire_mm > 0.05 and t.off_profile_deg <= 20.0
        and t.px_per_mm >= 28.0 and t.electrode_mm >= 1.5
    )  # fmt: skip


def lines(cases: Sequence[Case]) -> Iterator[str]:
    """Every figure, one line each."""
    yield f"pictures: {len(cases)}"
    yield f"stopped before features: {dict(Counter(c.stage for c in cases if c.stage))}"
    within = [c for c in cases if in_limits(c)]
    yield f"within the limits ({LIMITS}): {len(within)}"
    yield from _gap(within)
    yield from _uncertainty(cases, within)
    yield from _refusals(cases, within)
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


def _uncertainty(cases: Sequence[Case], within: Sequence[Case]) -> Iterator[str]:
    answered = [c for c in cases if math.isfinite(c.gap_mm) and c.truth.gap_axial]
    yield f"95 % interval holds the truth, all measured: {covered(answered)} (goal 93 to 99 %)"
    error = [abs(c.gap_error_mm) for c in answered]
    if error:
        ratio = median_expanded(answered) / float(np.median(error))
        yield f"median U {median_expanded(answered):.3f} mm, {ratio:.2f} times the median error (goal at most 3)"
    for bins in BINS:
        for name, held in bins.groups(answered):
            yield f"  {bins.name} {name}: held {covered(held)}, U {median_expanded(held):.3f}, {spread([c.gap_error_mm for c in held])}"
    for tolerance in (0.05, 0.1):
        said: Counter[str] = Counter()
        for c in within:
            if math.isfinite(c.gap_mm):
                length = Length(c.gap_mm, c.U_gap_mm / 1.96, c.U_gap_mm)
                said[judge_gap(length, (0.8 - tolerance, 0.8 + tolerance)).value] += 1
        yield f"said against 0.8 +/- {tolerance} mm: {dict(said)}"


def _refusals(cases: Sequence[Case], within: Sequence[Case]) -> Iterator[str]:
    fit = [c for c in within if abs(c.truth.tilt_deg) <= 12.0]
    yield f"answered of those within the limits and 12 deg: {Share(sum(math.isfinite(c.gap_mm) for c in fit), len(fit))} (goal 90 %)"
    why = Counter(
        (c.stage or "features") + ": " + (c.reason or c.gap_reason)
        for c in fit
        if not math.isfinite(c.gap_mm)
    )
    for reason, count in why.most_common(12):
        yield f"  refused {count}: {reason}"
    broken = [c for c in cases if not c.truth.gap_axial and not c.stage]
    yield f"radial gap not measured as axial: {Share(sum(not math.isfinite(c.gap_mm) for c in broken), len(broken))}"
    steep = [c for c in cases if abs(c.truth.tilt_deg) > 14.0 and c.truth.kind != "end" and not c.stage]
    yield f"tilt over 14 deg refused: {Share(sum(not math.isfinite(c.gap_mm) for c in steep), len(steep))}"
    off = [c for c in cases if c.truth.off_profile_deg > 40.0 and c.truth.kind == "side" and not c.stage]
    yield f"strap over 40 deg from profile refused: {Share(sum(not math.isfinite(c.gap_mm) for c in off), len(off))}"


def _pose(cases: Sequence[Case]) -> Iterator[str]:
    side = [c for c in cases if c.truth.kind == "side" and abs(c.truth.tilt_deg) <= 12.0]
    yield f"scale error (share): {spread([c.scale_error for c in side])} (goal median 0.003)"
    yield f"wrong thread size: {sum(c.wrong_size for c in cases)} (goal 0)"
    yield f"tilt error (deg), pooled: {spread([c.tilt_error_deg for c in side])} (goal median 1)"
    yield f"  by the view: {spread([c.view_tilt_error_deg for c in side])}"
    yield f"  by the look of the tip: {spread([c.seen_tilt_error_deg for c in side])}"
    radius = [
        c.edge_mm - c.truth.edge_radius_mm
        for c in side
        if c.truth.electrode_mm >= 1.5 and c.truth.px_per_mm >= 28
    ]
    yield f"edge radius error (mm): {spread(radius)} (goal median 0.08)"


def _parts(cases: Sequence[Case]) -> Iterator[str]:
    for title, held in (
        ("side", [c for c in cases if c.truth.kind == "side"]),
        ("oblique", [c for c in cases if c.truth.kind == "oblique"]),
        ("end", [c for c in cases if c.truth.kind == "end"]),
        ("fine wire", [c for c in cases if c.truth.electrode_mm <= 0.8]),
    ):
        for part in (Part.SHELL, Part.NOSE, Part.GROUND_ELECTRODE, Part.CENTRE_ELECTRODE):
            scores = [score for c in held for p, score in c.parts if p is part]
            wide = [s.iou for s in scores if s.px >= 30]
            boundary = [s.boundary_mm for s in scores if math.isfinite(s.boundary_mm)]
            if scores:
                mean = f"{np.mean(wide):.3f}" if wide else "none"
                yield (
                    f"{title} {part.name.lower()}: IoU mean {mean} (n {len(wide)} at least 30 px wide), "
                    f"boundary median {np.median(boundary) if boundary else math.nan:.3f} mm"
                )
