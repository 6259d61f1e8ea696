"""Medians, percentiles and binomial intervals of the benchmark's cases."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

from plugsight.features.benchmark.case import Case


@dataclass(frozen=True, slots=True)
class Share:
    """``count`` of ``of`` with its 95 % Clopper-Pearson interval (Clopper and Pearson, Biometrika 26, 1934)."""

    count: int
    of: int

    @property
    def interval(self) -> tuple[float, float]:
        """Lower and upper end, 0..1; (0, 1) for nothing counted."""
        if self.of == 0:
            return 0.0, 1.0
        low = 0.0 if self.count == 0 else float(stats.beta.ppf(0.025, self.count, self.of - self.count + 1))
        high = (
            1.0
            if self.count == self.of
            else float(stats.beta.ppf(0.975, self.count + 1, self.of - self.count))
        )
        return low, high

    def __str__(self) -> str:
        """Percent with interval."""
        if self.of == 0:
            return "none"
        low, high = self.interval
        return f"{self.count}/{self.of} = {self.count / self.of:.1%} [{low:.1%}, {high:.1%}]"


def spread(values: Sequence[float]) -> str:
    """Median and 95th percentile of absolute values, with the mean of signed ones, and how many were measured."""
    known = np.array([v for v in values if math.isfinite(v)])
    if known.size == 0:
        return "n 0"
    size = np.abs(known)
    return f"n {known.size}: median {np.median(size):.4f}, P95 {np.percentile(size, 95):.4f}, mean error {known.mean():+.4f}"


def covered(cases: Sequence[Case]) -> Share:
    """How often the stated 95 % interval holds the true gap."""
    measured = [c for c in cases if math.isfinite(c.gap_mm)]
    return Share(sum(abs(c.gap_error_mm) <= c.U_gap_mm for c in measured), len(measured))


def median_expanded(cases: Sequence[Case]) -> float:
    """Median expanded uncertainty of the measured gaps; NaN if there is none."""
    known = [c.U_gap_mm for c in cases if math.isfinite(c.U_gap_mm)]
    return float(np.median(known)) if known else math.nan


@dataclass(frozen=True, slots=True)
class Bins:
    """A quantity of the truth cut into bins: its name, how to get it, and the inner edges."""

    name: str
    of: Callable[[Case], float | str]
    edges: tuple[float, ...] = ()

    def groups(self, cases: Sequence[Case]) -> list[tuple[str, list[Case]]]:
        """Name and cases of every bin that is not empty."""
        if not self.edges:
            names = sorted({str(self.of(c)) for c in cases})
            return [(name, [c for c in cases if str(self.of(c)) == name]) for name in names]
        groups = []
        for low, high in zip((-math.inf, *self.edges), (*self.edges, math.inf), strict=True):
            held = [c for c in cases if low <= float(self.of(c)) < high]
            if held:
                groups.append((f"{low:g} to {high:g}", held))
        return groups


BINS = (
    Bins("tilt (deg)", lambda c: abs(c.truth.tilt_deg), (3.0, 8.0, 12.0)),
    Bins("signed tilt (deg)", lambda c: c.truth.tilt_deg, (-8.0, -3.0, 0.0, 3.0, 8.0)),
    Bins("electrode (mm)", lambda c: c.truth.electrode_mm, (0.8, 1.5, 2.2)),
    Bins("edge radius (mm)", lambda c: c.truth.edge_radius_mm, (0.1, 0.3, 0.6)),
    Bins("strap off profile (deg)", lambda c: c.truth.off_profile_deg, (10.0, 20.0, 30.0)),
    Bins("pixels per mm", lambda c: c.truth.px_per_mm, (28.0, 40.0, 60.0)),
    Bins("deposit", lambda c: c.truth.deposit),
    Bins("thread", lambda c: c.truth.thread),
)
