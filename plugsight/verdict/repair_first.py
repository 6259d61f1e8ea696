"""What to repair before a plug, cleaned or new, runs again."""

from plugsight.causes.load_knowledge import catalogue
from plugsight.causes.record import Band, Causes, RankedCause
from plugsight.confirmation.record import Confirmation
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Place

_HARMLESS = {Deposit.LIGHT, Deposit.BARE}

NOTHING_TO_REPAIR = frozenset({"in_order", "new_plugs", "clean_fuel"})
"""Ids of causes that ask for no repair."""
MOST = 3
STANDS = 0.5
"""From this probability on a cause is named for repair; below it, for the next check to settle (from memory)."""


def troubles(confirmation: Confirmation | None) -> frozenset[str]:
    """Ids (as in the causes room's findings) of everything seen on a plug that is not a harmless look."""
    if confirmation is None:
        return frozenset()
    seen = (*(d for d in confirmation.deposits if d not in _HARMLESS), *confirmation.damage)
    return frozenset(finding.name.lower() for finding in seen)


def repair_first(causes: Causes, place: Place, seen: frozenset[str]) -> tuple[str, ...]:
    """Name the causes that reach this plug's cylinder: for repair where one stands out, else to be settled first.

    Only causes that can show as something seen on this plug (``troubles``), where anything was. Empty where no cause
    with a repair is at least possible. One cause is named once, at its likeliest site.
    """
    likeliest: dict[str, RankedCause] = {}
    known = catalogue().causes
    for cause in causes.ranked:
        reaches = place.cylinder in cause.site.cylinders and (not seen or seen & known[cause.id].links.keys())
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
