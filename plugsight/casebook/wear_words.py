"""Wear of one plug in words, for every front."""

from collections.abc import Sequence

from plugsight.casebook.gap_series import U_MM, GapSeries, gap_series
from plugsight.casebook.wear import Forecast, Wear, forecast, wear_rate
from plugsight.flow import Inspection
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.refusal import NotMeasured

HOW = (
    "A straight line through the wire gauge readings of the same plug, carried on as if it wears as before; in brackets the "
    "95 % interval. Readings before a change of plugs, or before a gap that shrank, are left out."
)


def wear_words(past: Sequence[Inspection], place: Place) -> tuple[str, ...]:
    """Say how fast one plug's gap grew and when it reaches the limit of the last inspection, or why that is not known."""
    series = gap_series(past, place)
    wear = wear_rate(series.readings, U_MM)
    if isinstance(wear, NotMeasured):
        return (f"{wear.reason[:1].upper()}{wear.reason[1:]}.", wear.remedy)
    return (_rate(wear), _limit(wear, past[-1], series))


def _rate(wear: Wear) -> str:
    said = f"{_signed(wear.rate)} mm per 1,000 km ({_signed(wear.low)} to {_signed(wear.high)}), {wear.readings} readings"
    if wear.freedom < 1:
        return f"{said}; nothing shows yet whether it grows evenly."
    return f"{said}; they scatter more than the gauge explains." if wear.scattered else f"{said}."


def _limit(wear: Wear, last: Inspection, series: GapSeries) -> str:
    if last.spec.gap_mm is None:
        return "No forecast: the engine's list gives no gap to compare with."
    limit, now = last.spec.gap_mm[1], series.readings[-1].mm
    if now >= limit:
        return f"The last gap gauged, {now:.2f} mm, is at or over the limit of {limit:.2f} mm already."
    reached = forecast(wear, limit)
    if isinstance(reached, NotMeasured):
        return f"No forecast: {reached.reason}. {reached.remedy}"
    return _reached(reached, series.scale)


def _reached(reached: Forecast, scale: str) -> str:
    at = "km on the odometer" if scale == "odometer" else "km on these plugs"
    return (
        f"Reaches {reached.limit_mm:.2f} mm at about {_thousands(reached.km)} {at} "
        f"({_thousands(reached.low)} to {_thousands(reached.high)})."
    )


def _signed(rate: float) -> str:
    return f"{rate:+.4f}"


def _thousands(km: float) -> str:
    """Round to what the interval can carry: full thousands."""
    return f"{round(km, -3):,.0f}"
