"""The gate: only a person's decision becomes a confirmation, and contradictions are refused."""

from dataclasses import fields
from datetime import UTC, datetime

import pytest

from plugsight.confirmation import Confirmation, Decision, confirm
from plugsight.vocabulary.bench import BenchFinding, BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.shown import ShownToPerson

NOON = datetime(2026, 3, 4, 12, tzinfo=UTC)
SHOWN = ShownToPerson(
    blind=False, suggested=("dry carbon", "wet oil"), chances=(0.8, 0.2), damage=("worn electrodes",)
)


def decide(**changes: object) -> Confirmation:
    given: dict = {
        "place": Place(2),
        "deposits": [Deposit.DRY_CARBON],
        "shown": SHOWN,
        "who": "K.",
        "when": NOON,
    }
    given |= changes
    return confirm(given.pop("place"), given.pop("deposits"), **given)


def test_a_confirmation_cannot_be_made_past_the_gate() -> None:
    made = decide()
    copied = {f.name: getattr(made, f.name) for f in fields(made)} | {"gate": object()}
    with pytest.raises(TypeError, match="a person must have decided"):
        Confirmation(**copied)


def test_agreeing_in_deposit_and_damage_is_accepting() -> None:
    assert decide(damage=[Damage.WORN_ELECTRODES]).decision is Decision.ACCEPTED


def test_leaving_out_a_suggested_damage_is_a_correction() -> None:
    assert decide().decision is Decision.CORRECTED


def test_another_deposit_is_a_correction() -> None:
    assert decide(deposits=[Deposit.ASH]).decision is Decision.CORRECTED


@pytest.mark.parametrize(
    "shown", [ShownToPerson(blind=True), ShownToPerson(blind=False, abstained="too dark")]
)
def test_without_a_suggestion_on_screen_it_is_the_persons_own_decision(shown: ShownToPerson) -> None:
    assert decide(shown=shown).decision is Decision.DECIDED


def test_cant_tell_counts_as_not_seen() -> None:
    made = decide(deposits=[], cant_tell=True)
    assert made.decision is Decision.CANT_TELL
    assert not made.seen
    assert made.dominant is None


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"who": "  "}, "name of the person"),
        ({"when": datetime(2026, 3, 4, 12)}, "time zone"),  # noqa: DTZ001 - the missing zone is the point
        ({"deposits": []}, "nobody has decided"),
        ({"cant_tell": True}, "contradict"),
        ({"absent": [Deposit.DRY_CARBON]}, "present and absent"),
        ({"damage": [Damage.BRIDGED_GAP], "damage_absent": [Damage.BRIDGED_GAP]}, "present and absent"),
        ({"bench": [BenchFinding(BenchQuestion.WIPE, "purple")]}, "can't be answered so"),
        (
            {
                "bench": [
                    BenchFinding(BenchQuestion.DROPPED, "no"),
                    BenchFinding(BenchQuestion.DROPPED, "yes"),
                ]
            },
            "two answers",
        ),
    ],
)
def test_contradictions_are_refused_with_the_plug_named(changes: dict, words: str) -> None:
    with pytest.raises(InputError, match=words) as refused:
        decide(**changes)
    assert refused.value.where == "plug 2"


def test_answers_are_found_by_question() -> None:
    made = decide(bench=[BenchFinding(BenchQuestion.SMELL, "fuel")])
    assert made.answer(BenchQuestion.SMELL) == "fuel"
    assert made.answer(BenchQuestion.LENS) is None


def test_taking_any_member_of_the_suggested_set_is_accepting() -> None:
    for taken in (Deposit.WET_OIL, Deposit.DRY_CARBON):
        shown = ShownToPerson(
            blind=False, suggested=(Deposit.WET_OIL, Deposit.DRY_CARBON), model_digest="ab" * 32
        )
        assert decide(deposits=[taken], shown=shown).decision is Decision.ACCEPTED
