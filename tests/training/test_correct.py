"""What a model mistakes in a shop's photos is learnt from those that were confirmed, and its own photos are left alone."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from plugsight.suggestion.blend import Blend
from plugsight.suggestion.model import DepositModel
from plugsight.suggestion.model_file import load_model, save_model
from plugsight.training.correct import correct
from plugsight.training.families import fit_family
from plugsight.training.plugs import matrix
from plugsight.training.table import FeatureTable

MARK = 40
"""A feature that tells no deposit, but this shop's photos from all others."""


@pytest.fixture(scope="module")
def base(train: FeatureTable) -> Blend:
    return fit_family("logistic regression", train, train.deposit, seed=1)


@pytest.fixture(scope="module")
def shop(make_up: Callable[..., FeatureTable], train: FeatureTable) -> FeatureTable:
    """Photos of a shop in which two deposits look the other way round."""
    table = make_up(160, 9, "shop")
    first, second = sorted(set(train.deposit))[:2]
    values = table.values.copy()
    values[:, MARK] = 6.0
    deposit = np.where(
        table.deposit == first, second, np.where(table.deposit == second, first, table.deposit)
    )
    return replace(table, values=values, deposit=deposit)


def right(made: object, table: FeatureTable) -> float:
    told = made.classes_[made.predict_proba(matrix(table)).argmax(axis=1)]  # type: ignore[attr-defined]
    return float((told == table.deposit).mean())


def halves(table: FeatureTable) -> tuple[FeatureTable, FeatureTable]:
    first = np.isin(table.plug, np.unique(table.plug)[::2])
    return table.where(first), table.where(~first)


def test_a_mix_up_is_learnt(base: Blend, train: FeatureTable, shop: FeatureTable) -> None:
    learnt, other = halves(shop)
    swapped = np.isin(other.deposit, sorted(set(train.deposit))[:2])
    made = correct(base, train, learnt, 1.0)
    assert right(base, other.where(swapped)) < 0.1
    assert right(made, other.where(swapped)) > 0.8
    assert right(made, other.where(~swapped)) > right(base, other.where(~swapped)) - 0.03


def test_photos_that_are_not_the_shops_keep_their_answer(
    base: Blend, train: FeatureTable, shop: FeatureTable, held_out: FeatureTable
) -> None:
    made = correct(base, train, shop, 1.0)
    assert right(made, held_out) > right(base, held_out) - 0.02


def test_without_weight_nothing_changes(base: Blend, train: FeatureTable, shop: FeatureTable) -> None:
    made = correct(base, train, shop, 0.0)
    np.testing.assert_allclose(made.predict_proba(matrix(shop)), base.predict_proba(matrix(shop)), atol=0.02)


def test_one_photo_is_enough_and_changes_little(
    base: Blend, train: FeatureTable, shop: FeatureTable, held_out: FeatureTable
) -> None:
    one = shop.where(np.arange(len(shop)) < 1)
    assert right(correct(base, train, one, 1.0), held_out) > right(base, held_out) - 0.02


def test_a_corrected_model_is_saved_and_read_whole(
    base: Blend, train: FeatureTable, shop: FeatureTable, model: DepositModel, tmp_path: Path
) -> None:
    made = replace(model, estimator=correct(base, train, shop, 1.0))
    save_model(made, tmp_path)
    read = load_model(tmp_path)
    np.testing.assert_allclose(
        read.estimator.predict_proba(matrix(shop)), made.estimator.predict_proba(matrix(shop))
    )
