"""When an engine must not be cranked or run yet, and so which checks are left out."""

from collections.abc import Sequence

from plugsight.causes.catalogue import Catalogue
from plugsight.causes.seen import Seen

_STANDSTILL = frozenset(
    {
        "metal_specks",
        "melted_electrode",
        "missing_piece",
        "struck",
        "mineral",
        "liquid_fuel",
        "liquid_oil",
        "liquid_coolant",
        "bore_damage",
        "bore_washed",
    }
)
"""Findings after which nothing is cranked or run until the cylinder is cleared (common practice)."""


def standstill(seen: Sequence[Seen], known: Catalogue) -> str:
    """Why the engine must not be run or cranked yet, in a sentence; empty where nothing forbids it."""
    signs = [s for s in seen if s.present and s.finding in _STANDSTILL]
    if not signs:
        return ""
    said = dict.fromkeys(
        f"{known.findings[s.finding].here} ({f'plug {s.place}' if s.place else f'cylinder {s.cylinder}'})"
        for s in signs
    )
    return (
        f"Checks that crank or run the engine are left out: {', '.join(said)}. "
        "A borescope or the maker's procedure clears the cylinder first."
    )
