"""Two inspections of one engine side by side: what became of each plug's gap and condition in between."""

from dataclasses import dataclass

from plugsight.casebook.gap_series import TELLS_APART_MM, Gauged, gauged
from plugsight.flow import Inspection, PlugCase
from plugsight.vocabulary.engine import Place


@dataclass(frozen=True, slots=True, eq=False)
class PlugPair:
    """One plug at two inspections; ``None`` where it was not there. ``change`` says in words how the gap changed."""

    place: Place
    earlier: PlugCase | None
    later: PlugCase | None
    gap_earlier: Gauged | None
    gap_later: Gauged | None
    change: str


def side_by_side(earlier: Inspection, later: Inspection) -> tuple[PlugPair, ...]:
    """Pair up every plug that either inspection has, in the later one's order."""
    cases = [{case.place: case for case in one.plugs} for one in (earlier, later)]
    places = dict.fromkeys([*cases[1], *cases[0]])
    pairs = []
    for place in places:
        was, now = gauged(earlier, place), gauged(later, place)
        pairs.append(PlugPair(place, cases[0].get(place), cases[1].get(place), was, now, _change(was, now)))
    return tuple(pairs)


def _change(was: Gauged | None, now: Gauged | None) -> str:
    if was is None or now is None:
        return "not gauged both times"
    grown = now.found - was.left
    if abs(grown) <= TELLS_APART_MM:
        return f"{grown:+.2f} mm: no change that the gauge tells apart ({TELLS_APART_MM:.3f} mm or less)"
    return f"{grown:+.2f} mm: " + ("grown" if grown > 0 else "smaller: set again, bridged, or another plug")
