"""What the report says of the engine's earlier inspections: what was decided and repaired, and how the gaps grew since."""

from collections.abc import Sequence

from plugsight.casebook.gap_series import U_MM, gap_series
from plugsight.casebook.wear import wear_rate
from plugsight.casebook.wear_words import HOW, wear_words
from plugsight.flow import Inspection

MOST = 3
"""Earlier inspections told, the latest ones: the history has them all."""


def before(past: Sequence[Inspection], inspection: Inspection) -> tuple[str, ...]:
    """Return a line per earlier inspection, then one per plug whose wear is known; nothing for a first inspection.

    ``past`` holds the engine's inspections, oldest first; what came after ``inspection`` is left out.
    """
    earlier = [one for one in past if one.started < inspection.started and one.id != inspection.id]
    followed = [*earlier, inspection]
    grown = [
        f"plug {case.place}, gap: {' '.join(wear_words(followed, case.place))}"
        for case in inspection.plugs
        if wear_rate(gap_series(followed, case.place).readings, U_MM)
    ]
    return (*map(_line, earlier[-MOST:]), *grown, *((HOW,) if grown else ()))


def _line(one: Inspection) -> str:
    km = one.context.odometer_km
    at = "" if km is None else f", {km:,.0f} km"
    seen = [
        f"plug {case.place} {', '.join((*decided.deposits, *decided.damage))}"
        for case in one.plugs
        if (decided := case.confirmation) is not None and decided.seen
    ]
    repaired = f"; repaired: {one.repairs[-1].repaired}" if one.repairs else ""
    return f"{one.started[:10]}{at}: {', '.join(seen) or 'nothing decided'}{repaired}"
