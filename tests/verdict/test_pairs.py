"""No pair of confirmed findings gives a milder verdict than either alone, and nothing unanswered ever refits."""

from itertools import combinations

import pytest

from plugsight.readings import ReadingKind
from plugsight.verdict import Action
from plugsight.vocabulary.bench import BENCH, CANT_TELL
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit

READINGS = [
    (ReadingKind.GAUGE, "1.0", False), (ReadingKind.GAUGE, "0.4", False), (ReadingKind.RESISTANCE, "OL", True),
    (ReadingKind.RESISTANCE, "15k", False), (ReadingKind.CONTINUITY, "silent", True), (ReadingKind.INSULATION, "5M", True),
    (ReadingKind.INSULATION, "5M", False),
]  # fmt: skip


def findings(sound):
    return [
        *(("deposit", d) for d in Deposit),
        *(("damage", d) for d in Damage),
        *(("bench", (q, a)) for q, words in BENCH.items() for a in words.answers if sound.get(q) != a),
        *(("reading", r) for r in READINGS),
    ]


def given(*found):
    taken = [what for kind, what in found if kind == "reading"]
    return {
        "deposits": [what for kind, what in found if kind == "deposit"] or [Deposit.LIGHT],
        "damage": [what for kind, what in found if kind == "damage"],
        "bench": dict(what for kind, what in found if kind == "bench"),
        "readings": {k: t for k, t, _ in taken},
        "again": {k: t for k, t, again in taken if again},
    }


def both_possible(a, b):
    """One question has one answer, one kind one reading."""
    return not (a[0] == b[0] and a[0] in ("bench", "reading") and a[1][0] == b[1][0])


def test_a_pair_is_never_milder_than_either_alone(action, sound):
    everything = findings(sound)
    alone = {finding: action(**given(finding)) for finding in everything}
    milder = [
        (a, b)
        for a, b in combinations(everything, 2)
        if both_possible(a, b) and action(**given(a, b)) > min(alone[a], alone[b])
    ]
    assert len(everything) > 60
    assert not milder


def test_the_order_of_deposits_does_not_soften_a_verdict(action):
    for a, b in combinations(Deposit, 2):
        assert action(deposits=[a, b]) == action(deposits=[b, a])


@pytest.mark.parametrize("deposit", Deposit)
@pytest.mark.parametrize("answer", [None, CANT_TELL])
def test_a_question_left_open_never_softens(deposit, answer, action, sound):
    whole = action(deposits=[deposit])
    assert all(action(deposits=[deposit], bench={question: answer}) <= whole for question in sound)
    assert all(action(deposits=[deposit], readings={kind: None}) <= whole for kind in ReadingKind)


@pytest.mark.parametrize("deposit", Deposit)
def test_nothing_answered_never_refits(deposit, action, sound):
    nothing = {"bench": dict.fromkeys(sound), "readings": dict.fromkeys(ReadingKind)}
    assert action(deposits=[deposit], damage_absent=[], **nothing) <= Action.NOT_DECIDED
