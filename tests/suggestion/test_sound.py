"""A model that would lead scikit-learn's machine code astray is refused before it is used."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from sklearn.cluster import KMeans
from sklearn.ensemble import ExtraTreesClassifier, HistGradientBoostingClassifier

from plugsight.suggestion.model import DepositModel
from plugsight.suggestion.model_file import NAME, load_model, save_model
from plugsight.suggestion.sound import check_sound
from plugsight.training.plugs import matrix
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.errors import InputError


def fitted(estimator: object, model: DepositModel, train: FeatureTable) -> DepositModel:
    known = np.isin(train.deposit, [str(c) for c in model.classes])
    estimator.fit(np.nan_to_num(matrix(train)[known]), train.deposit[known])
    return replace(model, estimator=estimator)


def boosted() -> HistGradientBoostingClassifier:
    return HistGradientBoostingClassifier(max_iter=2, max_leaf_nodes=4, min_samples_leaf=2)


def test_what_the_training_makes_is_sound(model: DepositModel, train: FeatureTable) -> None:
    check_sound(model)
    check_sound(fitted(boosted(), model, train))
    check_sound(fitted(ExtraTreesClassifier(3), model, train))


@pytest.mark.parametrize(
    ("field", "value"),
    [("left", 4_000_000_000), ("right", 0), ("feature_idx", 100_000), ("is_categorical", 1)],
)
def test_a_boosted_tree_that_leads_astray_is_refused(
    model: DepositModel, train: FeatureTable, tmp_path: Path, field: str, value: int
) -> None:
    bad = fitted(boosted(), model, train)
    nodes = bad.estimator._predictors[0][0].nodes
    assert not nodes["is_leaf"][0]
    nodes[field][0] = value
    save_model(bad, tmp_path)
    with pytest.raises(InputError, match="can't be used as a model"):
        load_model(tmp_path)


@pytest.mark.parametrize(
    ("name", "value"), [("left_child", 1_000_000), ("right_child", 0), ("feature", 99_999)]
)
def test_a_tree_of_a_forest_that_leads_astray_is_refused(
    model: DepositModel, train: FeatureTable, name: str, value: int
) -> None:
    bad = fitted(ExtraTreesClassifier(2), model, train)
    tree = bad.estimator.estimators_[0].tree_
    state = tree.__getstate__()
    state["nodes"] = state["nodes"].copy()
    state["nodes"][name][0] = value
    tree.__setstate__(state)
    with pytest.raises(ValueError, match=r"leads out of itself|isn't there"):
        check_sound(bad)


def test_an_estimator_of_another_kind_is_refused(model: DepositModel, train: FeatureTable) -> None:
    with pytest.raises(ValueError, match="KMeans has no place"):
        check_sound(fitted(KMeans(2), model, train))


@pytest.mark.parametrize("note", [b"", b"\n", b"\xff\xfe\x00"], ids=["empty", "blank", "no text"])
def test_a_damaged_note_of_the_digest_is_refused(model: DepositModel, tmp_path: Path, note: bytes) -> None:
    save_model(model, tmp_path)
    (tmp_path / f"{NAME}.sha256").write_bytes(note)
    with pytest.raises(InputError, match="does not match its digest"):
        load_model(tmp_path)
