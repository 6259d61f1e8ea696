"""Prints how much time the causes take, the processor's and the clock's: ``python -m plugsight.causes.timing``.

Two made-up engines with all evidence: every plug with deposits, damage and bench answers, all four readings, codes,
trims and complaints. Goals: inference 50 ms with 16 cylinders, 10 ms with 4.
"""

import os
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial

from plugsight.causes.cylinder_table import forget_tables
from plugsight.causes.engine_model import EngineModel, engine_model
from plugsight.causes.evidence import Evidence
from plugsight.causes.find import find_causes
from plugsight.causes.inference import infer
from plugsight.causes.load_knowledge import catalogue
from plugsight.causes.observe import observe
from plugsight.causes.seen import Seen
from plugsight.confirmation.confirm import confirm
from plugsight.readings.judge import judge_readings
from plugsight.readings.record import ReadingEntry, ReadingKind
from plugsight.vocabulary.bench import BenchFinding, BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import (
    Context,
    Cooling,
    EngineFacts,
    FuelSystem,
    Ignition,
    Meter,
    Place,
    PlugSpec,
    Use,
)
from plugsight.vocabulary.shown import ShownToPerson

RUNS = 25
"""The quickest of so many is told: the others were disturbed."""
_DEPOSITS = (
    Deposit.LIGHT,
    Deposit.DRY_CARBON,
    Deposit.WET_OIL,
    Deposit.CHALK_WHITE,
    Deposit.ASH,
    Deposit.WET_FUEL,
)
_DAMAGE = ((), (Damage.BRIDGED_GAP,), (), (Damage.BLUED_METAL,), (Damage.WORN_ELECTRODES,), ())
_BENCH = (
    (BenchQuestion.LENS, "no crack"),
    (BenchQuestion.OUTER_INSULATOR, "sound"),
    (BenchQuestion.DROPPED, "no"),
    (BenchQuestion.LIQUID, "none"),
    (BenchQuestion.CAME_OUT, "normal"),
    (BenchQuestion.WELL, "oil"),
    (BenchQuestion.GASKET, "one, seated"),
    (BenchQuestion.NOSE_CLEANER, "no"),
)


def made_up_evidence(cylinders: int) -> Evidence:
    """Return a made-up engine with everything known about every plug: in line up to six, then in two banks."""
    half = cylinders // 2
    everyone = range(1, cylinders + 1)
    engine = EngineFacts(
        name=f"made-up {cylinders}",
        cylinders=cylinders,
        cooling=Cooling.LIQUID,
        ignition=Ignition.WASTED_SPARK,
        fuel_system=FuelSystem.PORT_INJECTION,
        use=Use.ROAD,
        turbo=True,
        banks=(tuple(range(1, half + 1)), tuple(range(half + 1, cylinders + 1))) if cylinders > 6 else (),
        coil_pairs=tuple((c, c + half) for c in range(1, half + 1)),
    )
    spec = PlugSpec(gap_mm=(0.7, 0.8), resistor=True)
    texts = {
        ReadingKind.GAUGE: "0.95",
        ReadingKind.RESISTANCE: "5.1k",
        ReadingKind.CONTINUITY: "sounds",
        ReadingKind.INSULATION: "OL",
    }
    return Evidence(
        engine=engine,
        spec=spec,
        context=Context(
            complaints=("misfire", "poor economy", "blue smoke load"),
            last_run="warm under load",
            km_on_plugs=30_000,
            codes=("P0302", "P0303", "P0174"),
            long_trim_percent=(-2.0, 14.0),
            oil_use="some",
            coolant_use="none",
        ),
        confirmations=tuple(
            confirm(
                Place(c),
                (_DEPOSITS[c % len(_DEPOSITS)],),
                shown=ShownToPerson(blind=True),
                who="made up",
                when=datetime(2026, 1, 2, tzinfo=UTC),
                damage=_DAMAGE[c % len(_DAMAGE)],
                bench=[BenchFinding(question, answer) for question, answer in _BENCH],
            )
            for c in everyone
        ),
        readings=judge_readings(
            [ReadingEntry(Place(c), kind, text) for c in everyone for kind, text in texts.items()],
            spec,
            Meter(),
        ),
    )


@dataclass(frozen=True, slots=True, order=True)
class Taken:
    """Milliseconds of one run: of the processor (other work on the machine counts little) and by the clock."""

    processor: float
    clock: float

    def __str__(self) -> str:
        return f"{self.processor:.1f} ms ({self.clock:.1f} ms by the clock)"


def taken(work: Callable[[], object]) -> Taken:
    """Return the time that one run of ``work`` takes."""
    clock, processor = time.perf_counter(), time.process_time()
    work()
    return Taken(1000 * (time.process_time() - processor), 1000 * (time.perf_counter() - clock))


def main() -> None:
    """Print per engine: the first inference, later ones with new evidence, and the whole ranking with every why."""
    knowledge = catalogue()
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    sys.stdout.write(f"processor time; load of the machine {load:.1f} on {os.cpu_count()} cores\n")
    for cylinders, goal in ((16, 50), (4, 10)):
        evidence = made_up_evidence(cylinders)
        seen = observe(evidence, knowledge)
        model = engine_model(evidence.engine, knowledge)
        problem = model.problem(seen)
        first = taken(partial(infer, problem))
        later = min(taken(partial(_anew, model, seen)) for _ in range(RUNS))
        why = taken(partial(find_causes, evidence))
        sys.stdout.write(
            f"{cylinders} cylinders, {len(seen)} findings, {len(model.shared)} shared causes, "
            f"{sum(map(len, model.local))} local: inference {later} (goal {goal} ms), "
            f"the first on this engine {first}, with every why {why}\n"
        )


def _anew(model: EngineModel, seen: Sequence[Seen]) -> object:
    """Evidence entered and inferred as if it were new; the engine is known."""
    forget_tables()
    return infer(model.problem(seen))


if __name__ == "__main__":
    main()
