"""What to repair before a plug, cleaned or new, runs again."""

from plugsight.causes.record import Band, Causes, RankedCause
from plugsight.vocabulary.engine import Place

NOTHING_TO_REPAIR = frozenset({"in_order", "new_plugs", "clean_fuel"})
"""Ids of causes that ask for no repair."""
MOST = 3
STANDS = 0.5
"""From this probability on a cause is named for repair; below it, for the next check to settle (from memory)."""


def repair_first(causes: Causes, place: Place) -> tuple[str, ...]:
    """Name the causes that reach this plug's cylinder: for repair where one stands out, else to be settled first.

    Empty where no cause with a repair is at least possible. One cause is named once, at its likeliest site.
    """
    likeliest: dict[str, RankedCause] = {}
    for cause in causes.ranked:
        reaches = place.cylinder in cause.site.cylinders
        if reaches and cause.band is not Band.UNLIKELY and cause.id not in NOTHING_TO_REPAIR:
            likeliest.setdefault(cause.id, cause)
    named = [*likeliest.values()][:MOST]
    standing = [c for c in named if c.probability >= STANDS]
    others = [f"{c.name} ({c.site})" for c in named if c.probability < STANDS]
    words = [f"{c.name} ({c.site}): {c.repair}" for c in standing]
    if others and standing:
        words.append(f"If that is not it: {'; '.join(others)}.")
    elif len(others) == 1:
        words.append(f"Settle by the next check first whether it is: {others[0]}.")
    elif others:
        words.append(f"Settle by the next check first which it is: {'; '.join(others)}.")
    return tuple(words)
