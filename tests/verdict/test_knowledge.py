"""The verdict's data files: what they must say, and that a slip in them is caught."""

from dataclasses import replace

import pytest
from pydantic import ValidationError

from plugsight.causes.load_knowledge import catalogue
from plugsight.readings import ReadingKind
from plugsight.verdict.rules import Question, Rule, questions, rules, steps
from plugsight.vocabulary.bench import BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Electrode, PlugSpec, Seat

KPA_PER_PSI = 6.894757


def test_air_is_below_30_psi_with_eye_protection_wherever_it_is_named():
    # 29 CFR 1910.242(b): below 30 psi; 30 psi = 206.8 kPa
    air = [s.words for s in steps() if "air" in s.words.lower().split() or "psi" in s.words]
    assert air
    assert all("30 psi (207 kPa)" in words and "eye protection" in words for words in air)
    assert pytest.approx(206.8, abs=0.1) == 30 * KPA_PER_PSI
    assert not any("85 psi" in s.words or "588" in s.words for s in steps())


def test_solvent_always_carries_the_phosgene_warning():
    # OSHA, welding hazards (read in quotations)
    solvent = [s.words for s in steps() if "solvent" in s.words.lower()]
    assert solvent
    assert all("hlorinated" in words and "phosgene" in words for words in solvent)


def test_every_deposit_and_damage_has_a_rule_or_a_question():
    named = [r.when for r in rules()] + [q.when for q in questions()]
    for deposit in Deposit:
        assert any(n.get("deposit") == deposit for n in named), deposit
    for damage in Damage:
        assert any(n.get("damage") == damage for n in named), damage


def test_a_precious_plug_is_never_brushed_or_bent(verdict):
    fine = PlugSpec(gap_mm=(0.7, 0.8), electrode=Electrode.PRECIOUS, seat=Seat.GASKET)
    said = verdict(deposits=[Deposit.DRY_CARBON], spec=fine).steps
    assert any("never brush or blast" in step for step in said)
    assert not any("plastic brush" in step or "bending the strap" in step for step in said)


def test_a_gap_that_is_only_set_is_not_cleaned(verdict):
    said = verdict(readings={ReadingKind.GAUGE: "1.0"}).steps
    assert any("bending the strap" in step for step in said)
    assert not any("Solvent" in step for step in said)


@pytest.mark.parametrize(("seat", "says"), [(Seat.GASKET, "none doubled"), (Seat.TAPER, "no gasket")])
def test_refit_rules_follow_the_seat(verdict, seat, says):
    spec = replace(PlugSpec(gap_mm=(0.7, 0.8), electrode=Electrode.NICKEL, thread="M14x1.25"), seat=seat)
    assert any(says in step for step in verdict(spec=spec).steps)


@pytest.mark.parametrize(
    "entry",
    [
        {"if": {"deposit": "soot"}, "action": "clean", "words": "x", "source": "cp"},
        {"if": {"wipe": "green"}, "action": "clean", "words": "x", "source": "cp"},
        {"if": {"deposit": "ash"}, "action": "wash", "words": "x", "source": "cp"},
        {"if": {"deposit": "ash"}, "action": "clean", "words": "x", "source": "nowhere"},
        {"if": {"deposit": "ash"}, "action": "clean", "words": "x", "source": ""},
        {"if": {"deposit": "ash"}, "action": "clean", "words": "x", "source": "cp", "extra": 1},
    ],
)
def test_a_slip_in_a_rule_is_caught(entry):
    with pytest.raises((ValidationError, ValueError)):
        Rule.model_validate(entry)


def test_a_question_nobody_can_answer_is_caught():
    entry = {"ask": "colour of the car", "asked": "always", "words": "x", "serious": "stop", "source": "cp"}
    with pytest.raises(ValidationError):
        Question.model_validate(entry)
    assert all(q.ask in {*BenchQuestion} or q.or_absent for q in questions())


def test_what_a_person_sees_has_the_same_name_in_the_causes_room():
    known = catalogue().findings
    assert {d.name.lower() for d in (*Deposit, *Damage)} <= known.keys()
