"""Short ways to write evidence for tests; all of it made up."""

from datetime import UTC, datetime

from plugsight.causes import Evidence
from plugsight.confirmation import confirm
from plugsight.vocabulary.bench import BenchFinding
from plugsight.vocabulary.engine import (
    Context,
    Cooling,
    EngineFacts,
    FuelSystem,
    Ignition,
    Place,
    PlugSpec,
    Use,
)
from plugsight.vocabulary.shown import ShownToPerson

L4 = {
    "name": "made up",
    "cylinders": 4,
    "cooling": Cooling.LIQUID,
    "ignition": Ignition.COIL_ON_PLUG,
    "fuel_system": FuelSystem.PORT_INJECTION,
    "use": Use.ROAD,
    "turbo": False,
}


def engine(**changes) -> EngineFacts:
    return EngineFacts(**(L4 | changes))


def plug(place, *deposits, damage=(), bench=(), absent=(), damage_absent=(), cant_tell=False):
    """One confirmation; ``place`` a number or a Place, ``bench`` pairs of question and answer."""
    return confirm(
        place if isinstance(place, Place) else Place(place),
        deposits,
        shown=ShownToPerson(blind=True),
        who="made up",
        when=datetime(2026, 1, 2, tzinfo=UTC),
        damage=damage,
        absent=absent,
        damage_absent=damage_absent,
        bench=[BenchFinding(question, answer) for question, answer in bench],
        cant_tell=cant_tell,
    )


def evidence(*plugs, facts=None, outcomes=(), readings=None, spec=None, **context) -> Evidence:
    rest = {} if readings is None else {"readings": readings}
    return Evidence(
        engine=facts or engine(),
        spec=spec or PlugSpec(gap_mm=(0.7, 0.8), resistor=True),
        context=Context(**context),
        confirmations=plugs,
        outcomes=tuple(outcomes),
        **rest,
    )


def set_of(deposit, odd=None, cylinders=4):
    """A plug per cylinder with one look; ``odd`` maps a cylinder to its own confirmation."""
    return tuple((odd or {}).get(c) or plug(c, deposit) for c in range(1, cylinders + 1))
