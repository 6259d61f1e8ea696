"""An invented four-cylinder, built by hand: every kind of row that a report can hold."""

from datetime import UTC, datetime

import cv2
import numpy as np
import pytest

from plugsight.causes.record import Band, Causes, RankedCause, Scope, Site, Why
from plugsight.checks.record import NextCheck, NextChecks, OutcomeMeaning
from plugsight.confirmation import confirm
from plugsight.readings.record import Judgement, Reading, ReadingKind
from plugsight.report.record import PlugPicture, PlugRow, Report, Shop
from plugsight.verdict.record import Action, PlugVerdict, VerdictReason
from plugsight.vocabulary.bench import BenchFinding, BenchQuestion
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
    Place,
    PlugSpec,
    Seat,
    Use,
)
from plugsight.vocabulary.honesty import RENDERED_ONLY
from plugsight.vocabulary.outcomes import CheckOutcome
from plugsight.vocabulary.shown import ShownToPerson

WHEN = datetime(2026, 11, 24, 9, 30, tzinfo=UTC)
DIGEST = "3f9a" * 16


def _picture(shade: int) -> np.ndarray:
    """A few shapes in the place of a plug: enough to see that a picture arrives."""
    image = np.full((320, 320, 3), 120, np.uint8)
    cv2.rectangle(image, (90, 190), (230, 320), (170, 172, 175), -1)
    cv2.rectangle(image, (125, 120), (195, 190), (shade, shade, shade), -1)
    cv2.rectangle(image, (150, 95), (170, 120), (90, 90, 95), -1)
    cv2.rectangle(image, (150, 60), (230, 75), (110, 110, 115), -1)
    cv2.rectangle(image, (215, 60), (230, 190), (110, 110, 115), -1)
    return image


def _pictures(
    place: Place, shade: int, gap: tuple[float, float] | None, words: str
) -> tuple[PlugPicture, ...]:
    seen = _picture(shade)
    overlay = seen.copy()
    cv2.line(overlay, (140, 75), (140, 95), (14, 90, 104), 3)
    return (
        PlugPicture(
            caption=f"plug {place}, side",
            photo_digest=DIGEST,
            picture=seen,
            overlay=overlay,
            gap_mm=gap and gap[0],
            gap_U_mm=gap and gap[1],
            gap_words=words,
            notes=() if gap else ("nose in shadow: turn the lamp",),
            nose_lab=(shade / 2.55, 2.0, 8.0),
        ),
    )


def _gauge(place: Place, text: str, judgement: Judgement) -> Reading:
    value = float(text.split(maxsplit=1)[0])
    return Reading(
        place, ReadingKind.GAUGE, text, value, None, 0.01, judgement, f"{text}: {judgement}", "", final=True
    )


def _ohm(place: Place, text: str, ohm: float | None, judgement: Judgement) -> Reading:
    return Reading(
        place,
        ReadingKind.RESISTANCE,
        text,
        ohm,
        None,
        40.0,
        judgement,
        f"{text}: {judgement}",
        "",
        final=True,
    )


def _leak(place: Place, text: str, judgement: Judgement) -> Reading:
    return Reading(
        place,
        ReadingKind.INSULATION,
        text,
        None,
        20e6,
        None,
        judgement,
        f"{text}: {judgement}",
        "",
        final=True,
    )


LENS = BenchFinding(BenchQuestion.LENS, "no crack")


def _sound(place: Place) -> PlugRow:
    shown = ShownToPerson(blind=False, suggested=("light",), chances=(0.9,), model_digest=DIGEST)
    return PlugRow(
        place,
        _pictures(place, 196, (0.83, 0.07), "0.83 ± 0.07 mm (looks near spec: gauge it)"),
        confirm(
            place,
            [Deposit.LIGHT],
            shown=shown,
            who="R. Vale",
            when=WHEN,
            bench=[LENS, BenchFinding(BenchQuestion.DROPPED, "no")],
        ),
        (
            _gauge(place, "0.80 mm", Judgement.IN),
            _ohm(place, "5.2 k", 5200.0, Judgement.USUAL),
            _leak(place, "OL", Judgement.NO_LEAK_SEEN),
        ),
        PlugVerdict(
            place,
            Action.REFIT,
            (VerdictReason(Action.REFIT, "light deposit, gap in by wire gauge, lens shows no crack", "CP"),),
            (),
            (),
            ("Well and thread clean, first turns by hand, engine cold, torque wrench.",),
            (),
            "gap 0.80 mm: leave it",
        ),
    )


def _sooted(place: Place) -> PlugRow:
    shown = ShownToPerson(blind=False, suggested=("wet oil", "ash"), chances=(0.5, 0.4), model_digest=DIGEST)
    return PlugRow(
        place,
        _pictures(place, 34, None, "no gap from this photo: tilted 21°, limit 12°. Take it side-on."),
        confirm(
            place,
            [Deposit.DRY_CARBON],
            shown=shown,
            who="R. Vale",
            when=WHEN,
            bench=[BenchFinding(BenchQuestion.WIPE, "dry soot")],
        ),
        (
            _gauge(place, "0.78 mm", Judgement.IN),
            _ohm(place, "OL", None, Judgement.OPEN),
            _leak(place, "3.1 M", Judgement.LEAK),
        ),
        PlugVerdict(
            place,
            Action.CAUSE_FIRST,
            (
                VerdictReason(Action.CAUSE_FIRST, "dry carbon on this plug only", "CP"),
                VerdictReason(Action.CLEAN, "leak before cleaning: clean and measure again", "CP"),
            ),
            ("meter again after cleaning",),
            ("Test the coil of cylinder 3 before any new plug goes in.",),
            ("Clean with a plastic brush and a suitable cleaner; no metal brush on the nose.",),
            ("Ignition off, key out, coils and injectors disconnected before cranking.",),
            "set to 0.80 mm by bending the strap only",
        ),
    )


def _worn(place: Place) -> PlugRow:
    shown = ShownToPerson(blind=True)
    return PlugRow(
        place,
        _pictures(place, 170, (1.04, 0.06), "1.04 ± 0.06 mm: clearly wide"),
        confirm(
            place,
            [Deposit.LIGHT, Deposit.RED_TINT],
            shown=shown,
            who="R. Vale",
            when=WHEN,
            damage=[Damage.WORN_ELECTRODES],
            bench=[LENS],
        ),
        (_gauge(place, "1.05 mm", Judgement.OUT), _ohm(place, "6.77 k", 6770.0, Judgement.USUAL)),
        PlugVerdict(
            place,
            Action.REPLACE,
            (VerdictReason(Action.REPLACE, "electrodes worn, gap 1.05 mm against 0.75 to 0.85 mm", "CP"),),
            (),
            ("Replace the plugs as a set.",),
            (),
            (),
        ),
    )


def _unseen(place: Place) -> PlugRow:
    return PlugRow(
        place,
        (),
        confirm(place, [], shown=ShownToPerson(blind=False), who="R. Vale", when=WHEN, cant_tell=True),
        (),
        PlugVerdict(
            place, Action.NOT_DECIDED, (), ("look at the nose with a 10x lens", "gauge the gap"), (), (), ()
        ),
    )


def _causes() -> Causes:
    third = Site(Scope.CYLINDER, (3,))
    return Causes(
        (
            RankedCause(
                "weak_coil",
                "weak coil",
                third,
                0.61,
                0.05,
                Band.MOST_LIKELY,
                (
                    Why("dry carbon on cylinder 3 and on no other", "common practice", 1.9),
                    Why("fault code P0303: misfire on cylinder 3", "SAE J2012", 1.2),
                ),
                (Why("complaint only when cold", "from memory", -0.3),),
                "replace or repair the coil of cylinder 3",
            ),
            RankedCause(
                "injector_leak",
                "injector leaks or sticks open",
                third,
                0.22,
                0.04,
                Band.POSSIBLE,
                (Why("dry carbon on cylinder 3 and on no other", "common practice", 1.4),),
                (Why("fuel trims near zero", "common practice", -0.8),),
                "clean or replace the injector of cylinder 3",
            ),
            RankedCause(
                "rich_all",
                "mixture too rich",
                Site(Scope.ENGINE, (1, 2, 3, 4)),
                0.02,
                0.1,
                Band.UNLIKELY,
                (),
                (Why("plugs 1 and 2 are light", "common practice", -2.6),),
                "find why the mixture is rich",
            ),
        ),
        separable=True,
        left_out=0.004,
        remarks=("Plug 4 counts as not seen: nobody could tell its condition.",),
    )


def _checks() -> NextChecks:
    return NextChecks(
        (
            NextCheck(
                id="swap_coil",
                name="swap the coil with another cylinder",
                cylinder=3,
                minutes=15,
                tools="none beyond hand tools",
                skill="anyone",
                how="Swap the coils of cylinders 3 and 2, run the engine, see which cylinder misfires.",
                outcomes=(
                    OutcomeMeaning("follows", "the misfire moves to cylinder 2", "the coil is at fault"),
                    OutcomeMeaning(
                        "stays", "it stays on cylinder 3", "not the coil: injector or compression next"
                    ),
                ),
                cautions=("Ignition voltage can injure, more so with a heart device.",),
                bits=0.7,
                bits_per_minute=0.047,
                why="tells most per minute: parts weak coil from injector",
                source="common practice",
            ),
        )
    )


@pytest.fixture
def report() -> Report:
    places = [Place(k) for k in (1, 2, 3, 4)]
    return Report(
        inspection="demo-1",
        made="2026-11-24T10:05:00+00:00",
        version="0.0",
        model_digest=DIGEST,
        engine=EngineFacts(
            "Invented four-cylinder 1.6",
            4,
            cooling=Cooling.LIQUID,
            ignition=Ignition.COIL_ON_PLUG,
            fuel_system=FuelSystem.PORT_INJECTION,
            fuel=Fuel.PETROL,
            use=Use.ROAD,
            firing_order=(1, 3, 4, 2),
        ),
        spec=PlugSpec(
            "M14x1.25",
            Seat.GASKET,
            (0.75, 0.85),
            resistor=True,
            electrode=Electrode.NICKEL,
            torque_nm=(20, 27),
        ),
        context=Context(
            complaint="stumbles when cold, lamp on",
            complaints=("misfire",),
            last_run="short trip",
            km_on_plugs=41200,
            odometer_km=128400,
            codes=("P0303",),
            long_trim_percent=(-1.0,),
        ),
        who="R. Vale",
        plugs=(
            _sound(places[0]),
            _worn(places[1]),
            _sooted(places[2]),
            _unseen(places[3]),
        ),
        causes=_causes(),
        checks=_checks(),
        checks_done=(CheckOutcome("compression_dry", "normal", 3, note="12.1 bar"),),
        repair=None,
        cautions=("Engine cold before plugs come out.", "Local rules and the maker's manual come first."),
        honesty=RENDERED_ONLY,
        invented=True,
        shop=Shop("Workshop by the Weir (invented)", "1 Mill Lane"),
        previous=("Last looked at 2025-10-02 at 101 900 km: all four light, gap 0.80 mm.",),
    )
