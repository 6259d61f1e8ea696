"""How much can be present at once: the exact sum doubles with each finding, so there is a limit, and it is said."""

from collections.abc import Callable, Iterable, Sequence

from plugsight.causes.seen import Seen

MOST_ON_A_CYLINDER = 8
"""Findings present on one cylinder and its plugs."""
MOST_ON_THE_ENGINE = 6
"""Findings of engine or bank present that the causes of single cylinders raise too: complaints, mostly."""


def over_limit(
    seen: Sequence[Seen], leak: Callable[[str], float], couples: Callable[[str], bool]
) -> frozenset[Seen]:
    """Return what must be left out: of too many findings present, those that tell least (the highest leak).

    Absent findings cost nothing and are never left out.
    """
    crowds: dict[int, list[Seen]] = {}
    for one in seen:
        if not one.present:
            continue
        if one.place is not None or one.cylinder is not None:
            crowds.setdefault(one.place.cylinder if one.place else one.cylinder or 0, []).append(one)
        elif couples(one.finding):
            crowds.setdefault(0, []).append(one)
    return frozenset(
        one
        for cylinder, crowd in crowds.items()
        for one in _least_telling(crowd, leak, MOST_ON_A_CYLINDER if cylinder else MOST_ON_THE_ENGINE)
    )


def _least_telling(crowd: Iterable[Seen], leak: Callable[[str], float], most: int) -> list[Seen]:
    return sorted(crowd, key=lambda one: leak(one.finding))[most:]
