"""Builds evidence from a scenario's one line and scores what came out. The files explain their own format."""

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path
from typing import Any

from plugsight.causes import Causes, Evidence, RankedCause, Scope
from plugsight.confirmation import Confirmation, confirm
from plugsight.readings import ReadingEntry, ReadingKind, judge_readings
from plugsight.vocabulary.bench import BENCH, BenchFinding, BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import (
    Context,
    Cooling,
    Electrode,
    EngineFacts,
    Fuel,
    FuelSystem,
    Ignition,
    Meter,
    Place,
    PlugSpec,
    Seat,
    Stroke,
    Use,
)
from plugsight.vocabulary.shown import ShownToPerson

HERE = Path(__file__).parent
TUNED = HERE / "scenarios.toml"
SEALED = HERE / "scenarios_sealed.toml"
_WORDS = {
    "stroke": Stroke,
    "cooling": Cooling,
    "ignition": Ignition,
    "fuel_system": FuelSystem,
    "fuel": Fuel,
    "use": Use,
    "seat": Seat,
    "electrode": Electrode,
}
_MACROS = {
    "sound": (
        "lens=no crack; thread=sound; seat=sound; terminal=sound; outer insulator=sound; dropped=no;"
        " electrode square=yes; gap closed by=not closed"
    ),
    "metered": "gauge=0.75; resistance=5.0k; continuity=sounds; insulation=OL",
}
_KINDS = {
    "gauge": ReadingKind.GAUGE,
    "resistance": ReadingKind.RESISTANCE,
    "continuity": ReadingKind.CONTINUITY,
    "insulation": ReadingKind.INSULATION,
}
_WHEN = datetime(2026, 1, 2, 9, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Scenario:
    """One line of a scenario file."""

    id: str
    evidence: Evidence
    expect: tuple[str, ...]
    first: str
    above: tuple[tuple[str, str], ...]
    never: tuple[str, ...]
    verdict: Mapping[Place, str]
    source: str


@lru_cache
def load(path: Path) -> tuple[Scenario, ...]:
    """All scenarios of a file; a slip in the file raises, naming the scenario."""
    engines = tomllib.loads((HERE / "scenario_engines.toml").read_text(encoding="utf-8"))["engine"]
    found = []
    for entry in tomllib.loads(path.read_text(encoding="utf-8"))["scenario"]:
        unknown = entry.keys() - {
            "id", "engine", "facts", "spec", "plugs", "context", "expect", "first", "above", "never", "verdict",
            "source",
        }  # fmt: skip
        assert not unknown, f"{entry['id']}: unknown keys {unknown}"
        found.append(_scenario(entry, engines))
    assert len({s.id for s in found}) == len(found)
    return tuple(found)


def _scenario(entry: Mapping[str, Any], engines: Mapping[str, Any]) -> Scenario:
    engine = EngineFacts(name=entry["engine"], **_record(engines[entry["engine"]] | entry.get("facts", {})))
    spec = PlugSpec(
        **_record(
            {
                "thread": "M14x1.25",
                "seat": "gasket",
                "gap_mm": [0.7, 0.8],
                "resistor": True,
                "electrode": "nickel",
            }
            | entry.get("spec", {})
        )
    )
    texts: dict[Place, str] = {}
    for key, text in entry["plugs"].items():
        texts |= dict.fromkeys(places(key, engine), text)
    confirmations, entries = [], []
    for place, text in sorted(texts.items()):
        confirmation, taken = _plug(place, text)
        confirmations.append(confirmation)
        entries.extend(taken)
    context = dict(entry.get("context", {}))
    if "not_compared" in context:
        context["not_compared"] = [p for key in context["not_compared"] for p in places(key, engine)]
    verdict: dict[Place, str] = {}
    for key, words in entry.get("verdict", {}).items():
        verdict |= dict.fromkeys(places(key, engine), words)
    return Scenario(
        id=entry["id"],
        evidence=Evidence(
            engine=engine,
            spec=spec,
            context=Context(**_record(context)),
            confirmations=tuple(confirmations),
            readings=judge_readings(entries, spec, Meter()),
        ),
        expect=tuple(entry.get("expect", ())),
        first=entry.get("first", ""),
        above=tuple((a, b) for a, b in entry.get("above", ())),
        never=tuple(entry.get("never", ())),
        verdict=verdict,
        source=entry["source"],
    )


def _record(values: Mapping[str, Any]) -> dict[str, Any]:
    """Words to enum members, lists to tuples."""
    return {key: _WORDS[key](value) if key in _WORDS else _tuples(value) for key, value in values.items()}


def _tuples(value: Any) -> Any:
    return tuple(_tuples(v) for v in value) if isinstance(value, list) else value


def places(key: str, engine: EngineFacts) -> tuple[Place, ...]:
    """Places a key names: ``all``, ``3``, ``2,3``, ``1-4``, ``top``, ``2 top``."""
    numbers, _, position = key.partition(" ")
    if numbers in engine.positions and numbers:
        numbers, position = "all", numbers
    cylinders: list[int] = []
    for part in numbers.split(","):
        if part == "all":
            cylinders.extend(range(1, engine.cylinders + 1))
        else:
            low, _, high = part.partition("-")
            cylinders.extend(range(int(low), int(high or low) + 1))
    assert all(1 <= c <= engine.cylinders for c in cylinders), key
    return tuple(Place(c, p) for c in cylinders for p in engine.positions if position in ("", p))


def _plug(place: Place, text: str) -> tuple[Confirmation, list[ReadingEntry]]:
    for macro, meaning in _MACROS.items():
        text = re.sub(rf"(?<=;)\s*{macro}\s*(?=;|$)", f" {meaning}", text)
    deposits: list[Deposit] = []
    damage: list[Damage] = []
    absent: list[Deposit] = []
    damage_absent: list[Damage] = []
    bench: dict[BenchQuestion, str] = {}
    entries: list[ReadingEntry] = []
    cant_tell = False
    for part in (p.strip() for p in text.split(";")):
        name, equals, answer = part.partition("=")
        if part == "can't tell":
            cant_tell = True
        elif equals and name in _KINDS:
            entries.append(
                ReadingEntry(place, _KINDS[name], answer.rstrip("*"), after_cleaning=answer.endswith("*"))
            )
        elif equals:
            question = BenchQuestion(name)
            assert answer in BENCH[question].answers, part
            bench[question] = answer
        elif part.startswith("+"):
            damage.append(Damage(part[1:]))
        elif part.startswith("-"):
            word = part[1:]
            if word in {d.value for d in Deposit}:
                absent.append(Deposit(word))
            else:
                damage_absent.append(Damage(word))
        else:
            deposits.extend(Deposit(d.strip()) for d in part.split(","))
    confirmation = confirm(
        place,
        deposits,
        shown=ShownToPerson(blind=True),
        who="made up",
        when=_WHEN,
        damage=damage,
        absent=absent,
        damage_absent=damage_absent,
        bench=[BenchFinding(q, a) for q, a in bench.items()],
        cant_tell=cant_tell,
    )
    return confirmation, entries


def matches(cause: RankedCause, wanted: str) -> bool:
    """Whether a ranked cause is one of those a scenario names."""
    for choice in wanted.split("|"):
        name, at, site = choice.partition("@")
        if cause.id != name:
            continue
        if not at:
            return True
        if site == "engine":
            if cause.site.scope is Scope.ENGINE:
                return True
        elif cause.site.scope is not Scope.ENGINE and cause.site.cylinders == tuple(
            int(c) for c in site.split(",")
        ):
            return True
    return False


def rank(causes: Causes, wanted: str) -> int | None:
    """Place (0 first) of the best ranked cause that matches, or None. Equal odds share the better place."""
    for index, cause in enumerate(causes.ranked):
        if matches(cause, wanted):
            better = [c for c in causes.ranked[:index] if c.probability > cause.probability + 1e-12]
            return len(better)
    return None


def misses(scenario: Scenario, causes: Causes) -> tuple[str, ...]:
    """What of a scenario's expectations about causes is not met, in words."""
    wrong = []
    for wanted in scenario.expect:
        at = rank(causes, wanted)
        if at is None or at > 2:
            wrong.append(f"{wanted} not among the first three (rank {at})")
    if scenario.first and rank(causes, scenario.first) != 0:
        wrong.append(f"{scenario.first} not first (rank {rank(causes, scenario.first)})")
    for a, b in scenario.above:
        at_a, at_b = rank(causes, a), rank(causes, b)
        if at_a is None or (at_b is not None and at_b <= at_a):
            wrong.append(f"{a} not above {b} ({at_a}, {at_b})")
    for unwanted in scenario.never:
        at = rank(causes, unwanted)
        if at is not None and at <= 2 and causes.ranked[at].probability > 0.01:
            wrong.append(f"{unwanted} among the first three")
    return tuple(wrong)


def score(scenarios: Sequence[Scenario], found: Mapping[str, Causes]) -> tuple[int, int, tuple[str, ...]]:
    """(expectations met in the top three, scenarios with any, ids that miss); no entry is shown."""
    asked = [s for s in scenarios if s.expect or s.first]
    missed = tuple(s.id for s in asked if misses(s, found[s.id]))
    return len(asked) - len(missed), len(asked), missed
