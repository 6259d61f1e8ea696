"""The value of a check: entropy by the book, and never negative."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plugsight.causes import catalogue
from plugsight.causes.engine_model import engine_model
from plugsight.causes.inference import infer
from plugsight.causes.observe import observe
from plugsight.checks import known_checks
from plugsight.checks.sites import sites_of
from plugsight.checks.value import entropy, value_of
from plugsight.vocabulary.deposits import Deposit


def test_entropy_of_a_fair_and_a_sure_answer():
    # Shannon 1948: one bit for a fair coin, none for a certain one; 0.8113 bits at one in four
    assert entropy(np.array([0.5, 0.0, 1.0, 0.25])) == pytest.approx([1.0, 0.0, 0.0, 0.8112781], abs=1e-7)


@given(st.floats(0.0, 1.0))
def test_entropy_is_symmetric_and_at_most_one(p):
    here, there = entropy(np.array([p, 1 - p]))
    assert here == pytest.approx(there, abs=1e-6)
    assert 0 <= here <= 1


@pytest.fixture(scope="module")
def sooty(made_up):
    evidence = made_up.evidence(*made_up.set_of(Deposit.LIGHT, {2: made_up.plug(2, Deposit.DRY_CARBON)}))
    known = catalogue()
    model = engine_model(evidence.engine, known)
    seen = observe(evidence, known)
    return model, seen, infer(model.problem(seen)), known


def test_no_check_is_worth_less_than_nothing_and_chances_add_up(sooty):
    model, seen, now, known = sooty
    standing = np.ones(len(model.nodes))
    for check in known_checks():
        for site in sites_of(check, model.engine)[1:2] or sites_of(check, model.engine)[:1]:
            value = value_of(check, site, seen, now, standing, model, known)
            assert value.bits >= 0
            assert value.chances.sum() == pytest.approx(1.0)
            assert value.posteriors.shape == (len(check.outcomes), len(model.nodes))


def test_the_outcomes_average_to_what_is_known_now(sooty):
    # law of total probability: a check with two outcomes that exclude each other covers everything
    model, seen, now, known = sooty
    standing = np.ones(len(model.nodes))
    for check in known_checks():
        if len(check.outcomes) == 2:
            site = sites_of(check, model.engine)[0]
            value = value_of(check, site, seen, now, standing, model, known)
            assert value.chances @ value.posteriors == pytest.approx(now.flat, abs=1e-8), check.id


def test_value_is_the_expected_drop_in_entropy(sooty):
    model, seen, now, known = sooty
    one = np.zeros(len(model.nodes))
    one[int(np.argmax(now.flat))] = 1.0
    check = next(c for c in known_checks() if c.id == "compression")
    site = sites_of(check, model.engine)[1]
    value = value_of(check, site, seen, now, one, model, known)
    after = sum(
        chance * entropy(posterior)[one > 0][0]
        for chance, posterior in zip(value.chances, value.posteriors, strict=True)
    )
    assert value.bits == pytest.approx(entropy(now.flat)[one > 0][0] - after, abs=1e-8)
