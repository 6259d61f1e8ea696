"""Gap against the engine's figure over the plugs: photo as a ring with its uncertainty, wire gauge as a filled diamond."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from plugsight.readings.record import ReadingKind
from plugsight.report.drawing import Box, Disc, Drawing, Ink, Label, Line, Path, Shape
from plugsight.report.record import PlugRow
from plugsight.vocabulary.engine import Place, PlugSpec

_LEFT, _TOP, _BOTTOM, _RIGHT = 11.0, 6.5, 9.5, 29.0


@dataclass(frozen=True, slots=True)
class GapPoint:
    """What is known of one plug's gap, mm: ``photo`` as (gap, expanded uncertainty), ``gauge`` per ground electrode."""

    place: Place
    photo: tuple[float, float] | None
    gauge: tuple[float, ...]


def gap_points(plugs: tuple[PlugRow, ...]) -> tuple[GapPoint, ...]:
    """Collect the gaps of a report's plugs; of several photos the one with the smallest uncertainty."""
    points = []
    for row in plugs:
        seen = [
            (p.gap_mm, p.gap_U_mm) for p in row.pictures if p.gap_mm is not None and p.gap_U_mm is not None
        ]
        latest = {r.electrode: r.value for r in row.readings if r.kind is ReadingKind.GAUGE}
        gauge = tuple(value for _, value in sorted(latest.items()) if value is not None)
        points.append(GapPoint(row.place, min(seen, key=lambda g: g[1]) if seen else None, gauge))
    return tuple(points)


def gap_chart(
    points: tuple[GapPoint, ...], spec: PlugSpec, *, width: float = 96.0, height: float = 62.0
) -> Drawing:
    """Draw the chart, ``width`` by ``height`` mm. Without any gap it says so instead of drawing axes."""
    values = [v for p in points for v in (*p.gauge, *_ends(p))] + list(spec.gap_mm or ())
    if not values:
        words = "No gap was measured or gauged."
        return Drawing(width, 10.0, (Label(0, 6, words, 8.5, Ink.SOFT),), words)
    low = math.floor((min(values) - 0.06) * 10) / 10
    high = math.ceil((max(values) + 0.06) * 10) / 10
    floor, right = height - _BOTTOM, width - _RIGHT

    def y(mm: float) -> float:
        return floor - (mm - low) / (high - low) * (floor - _TOP)

    shapes: list[Shape] = [*_frame(spec, low, high, right, y), *_key(width, bool(spec.gap_mm), y, spec)]
    step = (right - _LEFT) / len(points)
    for k, point in enumerate(points):
        shapes += _column(point, _LEFT + step * (k + 0.5), floor, y)
    shapes.append(Label(right + 2.5, floor + 4.2, "plug", 7.5, Ink.SOFT))
    return Drawing(width, height, tuple(shapes), _said(points, spec))


def _ends(point: GapPoint) -> tuple[float, ...]:
    return () if point.photo is None else (point.photo[0] - point.photo[1], point.photo[0] + point.photo[1])


def _frame(spec: PlugSpec, low: float, high: float, right: float, y: Callable[[float], float]) -> list[Shape]:
    shapes: list[Shape] = []
    if spec.gap_mm:
        top, bottom = y(spec.gap_mm[1]), y(spec.gap_mm[0])
        shapes.append(Box(_LEFT, top, right - _LEFT, bottom - top, fill=Ink.TINT))
        shapes += [Line(_LEFT, v, right, v, Ink.ACCENT, 0.35, 1.2) for v in (top, bottom)]
    count = round((high - low) / 0.1)
    every = 1 if count <= 8 else math.ceil(count / 6)
    for k in range(0, count + 1, every):
        mm = low + 0.1 * k
        shapes.append(Line(_LEFT - 1, y(mm), _LEFT, y(mm), Ink.SOFT, 0.2))
        shapes.append(Label(_LEFT - 1.8, y(mm) + 0.95, f"{mm:.1f}", 7.5, Ink.SOFT, "end"))
    shapes.append(Line(_LEFT, y(high), _LEFT, y(low), Ink.SOFT, 0.25))
    shapes.append(Line(_LEFT, y(low), right, y(low), Ink.SOFT, 0.25))
    shapes.append(Label(0, 2.6, "gap, mm", 7.5, Ink.SOFT))
    return shapes


def _column(point: GapPoint, x: float, floor: float, y: Callable[[float], float]) -> list[Shape]:
    shapes: list[Shape] = [Label(x, floor + 4.2, str(point.place), 9, Ink.TEXT, "middle", bold=True)]
    if point.photo is not None:
        mm, spread = point.photo
        at = x - 1.6
        ends = (y(mm + spread), y(mm - spread))
        shapes.append(Line(at, ends[0], at, ends[1], Ink.TEXT, 0.35))
        shapes += [Line(at - 1, end, at + 1, end, Ink.TEXT, 0.35) for end in ends]
        shapes.append(Disc(at, y(mm), 1.1, fill=Ink.PAPER, stroke=Ink.TEXT, width=0.4))
    for k, mm in enumerate(point.gauge):
        shapes.append(_diamond(x + 1.6 + 1.2 * k, y(mm)))
    if point.photo is None and not point.gauge:
        shapes.append(Label(x, floor - 1.5, "none", 7.5, Ink.SOFT, "middle"))
    return shapes


def _diamond(x: float, y: float) -> Path:
    return Path(((x, y - 1.4), (x + 1.2, y), (x, y + 1.4), (x - 1.2, y)), fill=Ink.ACCENT)


def _key(width: float, has_spec: bool, y: Callable[[float], float], spec: PlugSpec) -> list[Shape]:
    x = width - _RIGHT + 2.5
    shapes: list[Shape] = []
    if has_spec and spec.gap_mm:
        shapes += [Label(x - 1, y(mm) + 0.9, f"{mm:.2f}", 7.5, Ink.ACCENT, bold=True) for mm in spec.gap_mm]
    x += 8.5
    shapes += [
        Disc(x, _TOP + 2.0, 1.1, fill=Ink.PAPER, stroke=Ink.TEXT, width=0.4),
        Label(x + 2.4, _TOP + 2.9, "photo ± U", 7.5),
        _diamond(x, _TOP + 7.0),
        Label(x + 2.4, _TOP + 7.9, "wire gauge", 7.5),
    ]
    if has_spec:
        shapes += [
            Box(x - 1.3, _TOP + 10.8, 2.6, 2.4, fill=Ink.TINT, stroke=Ink.ACCENT, width=0.25),
            Label(x + 2.4, _TOP + 12.9, "asked for", 7.5),
        ]
    return shapes


def _said(points: tuple[GapPoint, ...], spec: PlugSpec) -> str:
    parts = [f"asked for {spec.gap_mm[0]:.2f} to {spec.gap_mm[1]:.2f} mm"] if spec.gap_mm else []
    for p in points:
        known = [f"photo {p.photo[0]:.2f} ± {p.photo[1]:.2f} mm"] if p.photo else []
        known += [f"gauge {v:.2f} mm" for v in p.gauge]
        parts.append(f"plug {p.place}: {', '.join(known) or 'not measured'}")
    return "Gap over the plugs. " + "; ".join(parts) + "."
