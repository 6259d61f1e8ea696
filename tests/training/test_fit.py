"""Fitting, calibrating and scoring on a made-up table with known truth."""

from dataclasses import replace

import numpy as np
import pytest

from plugsight.suggestion.model import DepositModel
from plugsight.training.compare import compare
from plugsight.training.families import FAMILIES
from plugsight.training.fit import fit
from plugsight.training.score import score
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.errors import InputError


def test_it_learns_what_can_be_learnt(model: DepositModel, held_out: FeatureTable) -> None:
    figures = score(model, held_out)
    assert figures.balanced[0] > 0.75
    assert figures.balanced[1] < figures.balanced[0] < figures.balanced[2]
    assert figures.confusion.sum() == figures.plugs == 300


def test_sets_hold_the_truth_as_often_as_stated(model: DepositModel, held_out: FeatureTable) -> None:
    # 95 % stated; 300 test and 400 calibration plugs: three joint standard deviations are about 5 points.
    assert 0.90 <= score(model, held_out).covered <= 1.0


def test_shuffled_labels_score_as_badly_as_chance(
    train: FeatureTable, calibration: FeatureTable, held_out: FeatureTable
) -> None:
    rng = np.random.default_rng(0)
    nonsense = replace(train, deposit=rng.permutation(train.deposit))
    assert score(fit(nonsense, calibration, family="logistic regression"), held_out).balanced[0] < 0.4


def test_views_unlike_anything_learnt_are_abstentions(model: DepositModel, held_out: FeatureTable) -> None:
    far = replace(held_out, values=held_out.values + 30)
    assert score(model, far).abstained == 1.0
    assert score(model, held_out).abstained < 0.2


def test_damage_is_found_with_few_false_alarms(model: DepositModel, held_out: FeatureTable) -> None:
    from plugsight.training.plugs import matrix

    one = model.damage[Damage.BLUED_METAL]
    said = one.estimator.predict_proba(matrix(held_out))[:, 1] >= one.threshold
    hurt = held_out.damage[:, 0]
    assert said[hurt].mean() > 0.9
    assert said[~hurt].mean() < 0.1


def test_a_mixed_plug_is_right_with_either_label(model: DepositModel, held_out: FeatureTable) -> None:
    as_bare = replace(held_out, deposit=np.full_like(held_out.deposit, "bare"), second=held_out.deposit)
    plain = score(model, held_out)
    bare = plain.classes.index("bare")
    right = plain.confusion.trace() + plain.confusion[:, bare].sum() - plain.confusion[bare, bare]
    assert score(model, as_bare).balanced[0] == pytest.approx(right / 300)


def test_one_deposit_alone_is_refused(train: FeatureTable, calibration: FeatureTable) -> None:
    alone = train.where(train.deposit == "light")
    with pytest.raises(InputError, match="at least two deposits"):
        fit(alone, calibration, family="logistic regression")


def test_families_are_compared_best_first(train: FeatureTable) -> None:
    small = train.where(np.arange(len(train)) < 120)
    scores = compare(small, folds=2)
    assert {s.name for s in scores} == set(FAMILIES)
    assert [s.log_loss for s in scores] == sorted(s.log_loss for s in scores)


def test_several_processes_find_what_one_finds(train: FeatureTable) -> None:
    small = train.where(np.arange(len(train)) < 120)
    assert compare(small, folds=2, workers=2) == compare(small, folds=2)
