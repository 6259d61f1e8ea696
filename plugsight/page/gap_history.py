"""Gap by wire gauge over the inspections of one engine, a line per plug."""

from collections.abc import Mapping, Sequence

from plugsight import flow
from plugsight.readings.record import ReadingKind
from plugsight.report.drawing import Disc, Drawing, Ink, Label, Line, Path, Shape

WIDE, TALL, LEFT, FLOOR, TOP = 84.0, 58.0, 11.0, 48.0, 6.0
APART = 3.2
"""Between the baselines of two names, mm."""


def gap_history(past: Sequence[flow.Inspection]) -> Drawing:
    """Draw the last gauged gap of each plug against the odometer; against the inspections' order where it is unknown."""
    lines = {case.place: _line(past, k) for k, case in enumerate(past[-1].plugs)} if past else {}
    gaps = [gap for line in lines.values() for _, gap in line]
    if not gaps:
        words = "No gap was gauged on this engine yet."
        return Drawing(WIDE, 9, (Label(0, 6, words, 9, Ink.SOFT),), words)
    stations = [_at(past, k) for k in range(len(past))]
    limit = past[-1].spec.gap_mm[1] if past[-1].spec.gap_mm else None
    drawn = gaps if limit is None else [*gaps, limit]
    low, high = min(drawn) - 0.05, max(drawn) + 0.05
    span = (stations[-1] - stations[0]) or 1.0

    def x(station: float) -> float:
        return LEFT + 6 + (station - stations[0]) / span * (WIDE - LEFT - 28)

    def y(gap: float) -> float:
        return FLOOR - (gap - low) / (high - low) * (FLOOR - TOP)

    shapes: list[Shape] = [
        Label(0, 3, "gap by wire gauge, mm", 8, Ink.SOFT),
        Line(LEFT, TOP, LEFT, FLOOR, Ink.SOFT),
        Line(LEFT, FLOOR, WIDE - 18, FLOOR, Ink.SOFT),
    ]
    shapes += [Label(LEFT - 1.5, y(mm) + 1, f"{mm:.2f}", 8, Ink.SOFT, "end") for mm in (min(gaps), max(gaps))]
    if limit is not None:
        shapes.append(Line(LEFT, y(limit), WIDE - 18, y(limit), Ink.ACCENT, 0.35, 1.2))
        shapes.append(Label(LEFT + 1, y(limit) - 1, f"widest allowed {limit:.2f}", 8, Ink.ACCENT))
    known = all(one.context.odometer_km is not None for one in past)
    for number, station in enumerate(stations, 1):
        words = f"{station:.0f} km" if known else f"inspection {number}"
        shapes.append(Label(x(station), FLOOR + 5, words, 8, Ink.SOFT, "middle"))
    drawn_lines = {
        place: tuple((x(stations[k]), y(gap)) for k, gap in line) for place, line in lines.items() if line
    }
    for points in drawn_lines.values():
        shapes.append(Path(points, None, Ink.ACCENT, 0.4, closed=False))
        shapes += [Disc(px, py, 1.1, Ink.PAPER, Ink.ACCENT, 0.5) for px, py in points]
    shapes += _names({f"plug {place}": points[-1] for place, points in drawn_lines.items()})
    said = "; ".join(
        f"plug {place}: {', '.join(f'{gap:.2f}' for _, gap in line) or 'none'}"
        for place, line in lines.items()
    )
    allowed = "" if limit is None else f" Widest allowed {limit:.2f}."
    told = f"Gap by wire gauge in mm over {len(past)} inspections. {said}.{allowed}"
    return Drawing(WIDE, TALL, tuple(shapes), told)


def _names(ends: Mapping[str, tuple[float, float]]) -> list[Shape]:
    """Name each line at its end; names keep the order of the lines' ends and stand clear of each other."""
    placed: list[Shape] = []
    lowest = -APART
    for name, (px, py) in sorted(ends.items(), key=lambda end: end[1][1]):
        lowest = max(py, lowest + APART)
        placed.append(Label(px + 3, lowest + 1, name, 8, Ink.TEXT))
    return placed


def _line(past: Sequence[flow.Inspection], plug: int) -> list[tuple[int, float]]:
    place = past[-1].plugs[plug].place
    line = []
    for k, one in enumerate(past):
        read = [r.value for r in flow.readings_of(one).of(place, ReadingKind.GAUGE) if r.value is not None]
        if read:
            line.append((k, read[-1]))
    return line


def _at(past: Sequence[flow.Inspection], k: int) -> float:
    known = [one.context.odometer_km for one in past]
    if all(km is not None for km in known):
        return float(known[k] or 0.0)
    return float(k)
