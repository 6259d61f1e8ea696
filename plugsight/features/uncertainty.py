"""Uncertainty of a length by JCGM 100:2008 (GUM), and what it allows to be said against limits (JCGM 106:2012)."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy import stats

from plugsight.features.record import BudgetLine, Length

COVERAGE = 0.95


@dataclass(frozen=True, slots=True)
class Component:
    """One input's contribution to the standard uncertainty (sensitivity times u), with its degrees of freedom."""

    source: str
    u: float
    dof: float = math.inf


def combine(components: Sequence[Component]) -> tuple[float, float]:
    """Return combined standard uncertainty and effective degrees of freedom of uncorrelated components.

    Root sum of squares (GUM 5.1.2) and Welch-Satterthwaite (GUM G.4.1). No component or all zero: ``(0.0, inf)``.
    """
    u = math.sqrt(sum(c.u**2 for c in components))
    spread = sum(c.u**4 / c.dof for c in components)
    return u, (u**4 / spread if spread > 0.0 else math.inf)


def coverage_factor(dof: float, coverage: float = COVERAGE) -> float:
    """Two-sided Student factor; degrees of freedom are rounded down (GUM G.4.1)."""
    if math.isinf(dof):
        return float(stats.norm.ppf(0.5 + coverage / 2))
    return float(stats.t.ppf(0.5 + coverage / 2, math.floor(max(dof, 1.0))))


def length_of(mm: float, components: Sequence[Component]) -> Length:
    """Return a length with its budget, largest contribution first."""
    u, dof = combine(components)
    budget = tuple(BudgetLine(c.source, c.u) for c in sorted(components, key=lambda c: -c.u))
    return Length(mm=mm, u_mm=u, U_mm=coverage_factor(dof) * u, budget=budget)


def chance_within(value: float, u: float, low: float, high: float) -> float:
    """Probability that the true value lies in ``[low, high]`` for a normal ``value`` ± ``u`` (JCGM 106:2012, 7.2 to 7.4).

    Infinite limits are one-sided. ``u`` 0: 1.0 inside, 0.0 outside.
    """
    if u <= 0.0:
        return float(low <= value <= high)
    return float(stats.norm.cdf((high - value) / u) - stats.norm.cdf((low - value) / u))
