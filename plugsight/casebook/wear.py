"""How fast a gap grows and when it reaches its limit: a straight line through gauge readings, and how far to trust it.

One slope is shared by all readings of a plug; every setting of the gap begins a line of its own (least squares with one
intercept per setting, so setting a gap does not look like wear). Intervals are 95 %:

- from the gauge's own standard uncertainty, where the readings scatter no more than that explains (chi-squared, 5 %);
- from the scatter itself (Student's t), where they scatter more: then wear was uneven, or a reading is wrong.

The forecast is where the line crosses the limit, with Fieller's interval (E. C. Fieller, J. R. Stat. Soc. B 16, 1954,
cited from memory: every crossing that the fit does not contradict), which ends nowhere where the slope could be zero.
"""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from scipy import special

from plugsight.vocabulary.refusal import NotMeasured

COVERAGE = 0.95


@dataclass(frozen=True, slots=True)
class GapReading:
    """One gap by wire gauge, mm, at a distance driven, km. ``setting`` counts how often the gap was set before it."""

    km: float
    mm: float
    setting: int = 0


@dataclass(frozen=True, slots=True)
class Wear:
    """A fitted line. Rates in mm per 1,000 km with their 95 % interval; ``scattered``: the interval is from scatter."""

    rate: float
    low: float
    high: float
    readings: int
    freedom: int
    """Degrees of freedom left: with none, any readings lie on a line and nothing could contradict it."""
    scattered: bool
    mean_km: float
    """Mean of the readings since the gap was last set; the line passes through (``mean_km``, ``mean_mm``)."""
    mean_mm: float
    since_set: int
    spread: float
    """Sum of squared km about the settings' means."""
    half_width: float
    """Coverage factor times the standard deviation of one reading, mm."""


@dataclass(frozen=True, slots=True)
class Forecast:
    """Where the line reaches ``limit_mm``: km on the same scale as the readings, with the 95 % interval."""

    limit_mm: float
    km: float
    low: float
    high: float


def wear_rate(readings: Sequence[GapReading], u_mm: float) -> Wear | NotMeasured:
    """Fit the line.

    Parameters
    ----------
    readings
        Of one plug, the last setting's last.
    u_mm
        Standard uncertainty of one reading, mm, above zero.

    Refused where no setting has readings at two distances.

    """
    settings = Counter(reading.setting for reading in readings)
    km = {s: sum(r.km for r in readings if r.setting == s) / n for s, n in settings.items()}
    mm = {s: sum(r.mm for r in readings if r.setting == s) / n for s, n in settings.items()}
    about = [(r.km - km[r.setting], r.mm - mm[r.setting]) for r in readings]
    spread = sum(x * x for x, _ in about)
    if spread <= 0.0:
        return NotMeasured(
            "not enough inspections: a wear rate needs the gap gauged at two mileages on the same plugs",
            "Note the odometer and gauge the gap at every inspection.",
        )
    slope = sum(x * y for x, y in about) / spread
    left_over = sum((y - slope * x) ** 2 for x, y in about)
    freedom = len(readings) - len(settings) - 1
    factor, scattered = float(special.ndtri((1 + COVERAGE) / 2)) * u_mm, False
    if freedom > 0 and left_over / u_mm**2 > special.chdtri(freedom, 1 - COVERAGE):
        t = float(special.stdtrit(freedom, (1 + COVERAGE) / 2))
        factor, scattered = t * math.sqrt(left_over / freedom), True
    half = factor / math.sqrt(spread)
    last = readings[-1].setting
    return Wear(
        rate=1000 * slope,
        low=1000 * (slope - half),
        high=1000 * (slope + half),
        readings=len(readings),
        freedom=freedom,
        scattered=scattered,
        mean_km=km[last],
        mean_mm=mm[last],
        since_set=settings[last],
        spread=spread,
        half_width=factor,
    )


def forecast(wear: Wear, limit_mm: float) -> Forecast | NotMeasured:
    """Say where the gap reaches the limit; refused with too few readings, or where it may not be growing at all."""
    if wear.freedom < 1:
        return NotMeasured(
            "not enough inspections: two readings always lie on a line, a forecast needs a third",
            "Gauge the gap again at the next inspection.",
        )
    slope, half = wear.rate / 1000, wear.half_width
    steep = slope**2 - half**2 / wear.spread
    if slope <= 0 or steep <= 0:
        return NotMeasured(
            "the gap has not grown by more than the readings can tell",
            "Gauge it again at the next inspection; the limit itself is checked by the gauge every time.",
        )
    # |limit - line(x)| <= half * sqrt(1/n + x^2/spread), x from the mean km: a quadratic in x
    rise = limit_mm - wear.mean_mm
    root = math.sqrt((slope * rise) ** 2 - steep * (rise**2 - half**2 / wear.since_set))
    low, high = ((slope * rise + sign * root) / steep for sign in (-1, 1))
    return Forecast(limit_mm, wear.mean_km + rise / slope, wear.mean_km + low, wear.mean_km + high)
