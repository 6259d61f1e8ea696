"""Every word has an explanation, and a refusal can't pass for a result."""

from plugsight.vocabulary.bench import BENCH, BenchQuestion
from plugsight.vocabulary.damage import DAMAGE, Damage
from plugsight.vocabulary.deposits import DEPOSITS, Deposit
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.refusal import NotMeasured


def test_every_deposit_damage_and_question_is_explained() -> None:
    assert set(DEPOSITS) == set(Deposit)
    assert set(DAMAGE) == set(Damage)
    assert set(BENCH) == set(BenchQuestion)


def test_a_refusal_is_false_and_keeps_its_remedy() -> None:
    refusal = NotMeasured("tilted 20 degrees", "Turn the plug side-on.")
    assert not refusal
    assert refusal.remedy == "Turn the plug side-on."


def test_an_error_names_place_rule_value_and_remedy_on_one_line() -> None:
    error = InputError("plug 5", "the engine has 4 cylinders", "Use 1 to 4.", 5)
    assert str(error) == "plug 5: the engine has 4 cylinders (seen: 5). Use 1 to 4."


def test_a_place_is_named_as_said_aloud() -> None:
    assert str(Place(3)) == "3"
    assert str(Place(3, "top")) == "3 top"
