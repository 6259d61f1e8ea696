"""Each step is saved at once; a resumed inspection is the same; a second writer is told."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from plugsight.casebook import Casebook
from plugsight.features import Features
from plugsight.flow import Inspection, conclude, make_report, undecided
from plugsight.readings import ReadingEntry, ReadingKind
from plugsight.store import Conflict, Store
from plugsight.verdict import Action
from plugsight.vocabulary.bench import BenchFinding, BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Context, EngineFacts, Place, PlugSpec, Seat, Stroke
from plugsight.vocabulary.errors import DecisionMissing, InputError
from plugsight.vocabulary.outcomes import CheckOutcome, RepairOutcome

PHOTO = (Path(__file__).parent.parent / "data" / "side_normal.jpg").read_bytes()
ENGINE = EngineFacts("Invented twin", cylinders=2, stroke=Stroke.FOUR)
SPEC = PlugSpec(thread="M14x1.25", seat=Seat.GASKET, gap_mm=(0.7, 0.8), resistor=True)
ONE, TWO = Place(1), Place(2)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "store"


@pytest.fixture
def book(folder: Path) -> Iterator[Casebook]:
    with Store.open(folder) as store:
        yield Casebook(store)


@pytest.fixture
def begun(book: Casebook) -> Inspection:
    return book.start(ENGINE, SPEC, Context(complaint="stumbles", km_on_plugs=20_000.0), invented=True)


def decided(book: Casebook, begun: Inspection) -> Inspection:
    job = book.decide(begun, ONE, [Deposit.DRY_CARBON], who="K.", absent=[Deposit.WET_OIL])
    return book.decide(job, TWO, [Deposit.LIGHT], who="K.")


def test_a_resumed_inspection_is_the_same(book: Casebook, begun: Inspection, folder: Path) -> None:
    job = book.add_photo(begun, ONE, "one.jpg", PHOTO)
    job = book.answer(job, ONE, BenchFinding(BenchQuestion.WIPE, "dry soot"))
    job = decided(book, job)
    job = book.read(job, ReadingEntry(ONE, ReadingKind.GAUGE, "0.76 mm"))
    job = book.check(job, CheckOutcome("air_filter_look", "clean"))
    job = book.repair(job, RepairOutcome("nothing yet"))
    with Store.open(folder) as again:
        back = Casebook(again).load(job.id)
    assert (back.engine, back.spec, back.context, back.meter) == (
        job.engine,
        job.spec,
        job.context,
        job.meter,
    )
    assert back.plug(ONE).confirmations == job.plug(ONE).confirmations
    assert back.plug(ONE).entries == (ReadingEntry(ONE, ReadingKind.GAUGE, "0.76 mm"),)
    assert back.outcomes == job.outcomes
    assert back.repairs == job.repairs
    seen, before = back.plug(ONE).photos[0].features, job.plug(ONE).photos[0].features
    assert isinstance(seen, Features)
    assert isinstance(before, Features)
    assert seen.gap == before.gap
    assert seen.canonical.shape == before.canonical.shape == (320, 320, 3)


def test_answers_given_before_and_after_a_decision_count_the_latest_last(
    book: Casebook, begun: Inspection
) -> None:
    job = book.answer(begun, ONE, BenchFinding(BenchQuestion.LENS, "crack or chip"))
    job = decided(book, job)
    job = book.answer(job, ONE, BenchFinding(BenchQuestion.LENS, "no crack"))
    standing = job.plug(ONE).confirmation
    assert standing is not None
    assert standing.answer(BenchQuestion.LENS) == "no crack"


def test_a_correction_supersedes_and_keeps_the_first(book: Casebook, begun: Inspection) -> None:
    job = book.decide(decided(book, begun), ONE, [Deposit.WET_OIL], who="B.")
    assert [c.dominant for c in job.plug(ONE).confirmations] == [Deposit.DRY_CARBON, Deposit.WET_OIL]


def test_a_second_writer_of_the_same_plug_is_told(book: Casebook, begun: Inspection) -> None:
    book.decide(begun, ONE, [Deposit.DRY_CARBON], who="K.")
    with pytest.raises(Conflict):
        book.decide(begun, ONE, [Deposit.LIGHT], who="B.")
    assert [c.dominant for c in book.load(begun.id).plug(ONE).confirmations] == [Deposit.DRY_CARBON]


def test_an_undecided_plug_is_refused_by_name(book: Casebook, begun: Inspection) -> None:
    job = book.decide(begun, ONE, [Deposit.LIGHT], who="K.")
    assert undecided(job) == (TWO,)
    with pytest.raises(DecisionMissing, match="plug 2: nobody has decided"):
        conclude(job)


def test_cant_tell_counts_as_not_seen(book: Casebook, begun: Inspection) -> None:
    job = book.decide(begun, ONE, [Deposit.LIGHT], who="K.")
    job = book.decide(job, TWO, [], who="K.", cant_tell=True)
    result = conclude(job)
    assert result.verdicts[1].action is Action.NOT_DECIDED


def test_a_suggestion_alone_never_reaches_the_causes(book: Casebook, begun: Inspection) -> None:
    job = book.add_photo(begun, ONE, "one.jpg", PHOTO)
    with pytest.raises(DecisionMissing, match="plug 1, 2"):
        conclude(job)


def test_the_report_holds_what_was_decided(book: Casebook, begun: Inspection) -> None:
    job = book.decide(begun, ONE, [Deposit.DRY_CARBON], who="K.", damage=[Damage.CRACKED_NOSE])
    job = book.decide(job, TWO, [Deposit.LIGHT], who="K.")
    report = make_report(job, conclude(job), who="K.", made="2026-03-04T12:00:00+00:00")
    assert report.invented
    assert report.plugs[0].confirmation.damage == (Damage.CRACKED_NOSE,)
    assert report.plugs[0].verdict.action <= Action.REPLACE
    assert "rendered plugs only" in report.honesty


def test_photos_are_kept_without_metadata_and_can_be_taken_out(book: Casebook, begun: Inspection) -> None:
    job = book.add_photo(begun, ONE, "one.jpg", PHOTO)
    digest = job.plug(ONE).photos[0].digest
    job = book.remove_photo(job, ONE, digest)
    assert job.plug(ONE).photos == ()


@pytest.mark.parametrize(
    "wrong",
    [
        ReadingEntry(ONE, ReadingKind.GAUGE, "0.76 kOhm"),
        ReadingEntry(ONE, ReadingKind.RESISTANCE, "about five"),
    ],
)
def test_an_unreadable_reading_is_refused_and_not_kept(
    book: Casebook, begun: Inspection, wrong: ReadingEntry
) -> None:
    with pytest.raises(InputError):
        book.read(begun, wrong)
    assert book.load(begun.id).plug(ONE).entries == ()


def test_contradicting_facts_are_refused_before_anything_is_written(book: Casebook) -> None:
    with pytest.raises(InputError):
        book.start(EngineFacts("Invented", cylinders=4, firing_order=(1, 2, 2, 4)), SPEC)
    assert book.recent() == ()
