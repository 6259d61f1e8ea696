"""One sound plug in a made-up engine, to which each test adds one finding."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from plugsight.causes import Causes, Evidence
from plugsight.confirmation import confirm
from plugsight.readings import ReadingEntry, ReadingKind, judge_readings
from plugsight.verdict import decide
from plugsight.vocabulary.bench import BenchFinding, BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Context, Electrode, EngineFacts, Meter, Place, PlugSpec, Seat, Use
from plugsight.vocabulary.shown import ShownToPerson

PLACE = Place(1)
NO_CAUSES = Causes((), separable=True, left_out=0.0)
SPEC = PlugSpec(
    thread="M14x1.25", seat=Seat.GASKET, gap_mm=(0.7, 0.8), resistor=True, electrode=Electrode.NICKEL
)
ENGINE = EngineFacts("made up", 4, use=Use.ROAD, head_aluminium=True)
SOUND = {
    BenchQuestion.LENS: "no crack",
    BenchQuestion.THREAD: "sound",
    BenchQuestion.SEAT: "sound",
    BenchQuestion.TERMINAL: "sound",
    BenchQuestion.OUTER_INSULATOR: "sound",
    BenchQuestion.DROPPED: "no",
    BenchQuestion.ELECTRODE_SQUARE: "yes",
    BenchQuestion.METAL_BLUED: "no",
    BenchQuestion.SCRATCH: "crumbles",
    BenchQuestion.LIQUID: "none",
    BenchQuestion.GAP_CLOSED_BY: "not closed",
}
METERED = {
    ReadingKind.GAUGE: "0.75",
    ReadingKind.RESISTANCE: "5.0k",
    ReadingKind.CONTINUITY: "sounds",
    ReadingKind.INSULATION: "OL",
}


def sound_plug(
    *,
    deposits=(Deposit.LIGHT,),
    damage=(),
    damage_absent=(Damage.MISSING_PIECE,),
    bench=None,
    readings=None,
    again=None,
    cant_tell=False,
    engine=ENGINE,
    spec=SPEC,
    context=None,
):
    """Evidence of one plug: sound and metered, with the given answers and readings put in; None takes one out."""
    answers = {q: a for q, a in (SOUND | (bench or {})).items() if a is not None}
    texts = {k: t for k, t in (METERED | (readings or {})).items() if t is not None}
    entries = [ReadingEntry(PLACE, k, t) for k, t in texts.items()]
    entries += [ReadingEntry(PLACE, k, t, after_cleaning=True) for k, t in (again or {}).items()]
    hurt = {*damage}
    confirmation = confirm(
        PLACE,
        () if cant_tell else deposits,
        shown=ShownToPerson(blind=True),
        who="made up",
        when=datetime(2026, 1, 2, tzinfo=UTC),
        damage=damage,
        damage_absent=[d for d in damage_absent if d not in hurt],
        bench=[BenchFinding(q, a) for q, a in answers.items()],
        cant_tell=cant_tell,
    )
    return Evidence(
        engine, spec, context or Context(), (confirmation,), judge_readings(entries, spec, Meter())
    )


@pytest.fixture
def plug():
    """Evidence of one plug; see ``sound_plug``."""
    return sound_plug


@pytest.fixture
def verdict():
    """The verdict on one plug, no cause standing."""

    def on(**what):
        return decide(sound_plug(**what), PLACE, NO_CAUSES)

    return on


@pytest.fixture
def action(verdict):
    """What becomes of one plug, no cause standing."""

    def of(**what):
        return verdict(**what).action

    return of


@pytest.fixture
def sound():
    """The answers of a sound plug."""
    return SOUND


@pytest.fixture
def aircraft():
    """The same engine in an aeroplane."""
    return replace(ENGINE, use=Use.AIRCRAFT)
