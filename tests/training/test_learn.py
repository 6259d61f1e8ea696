"""A table becomes a model file with its card; a missing split is refused."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from plugsight.suggestion.model_file import load_model
from plugsight.training.learn import learn
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.errors import InputError


def joined(*tables: FeatureTable) -> FeatureTable:
    names = ("values", "kind", "plug", "group", "split", "deposit", "second", "severity", "damage")
    return replace(tables[0], **{n: np.concatenate([getattr(t, n) for t in tables]) for n in names})


def test_the_card_tells_the_figures_of_the_saved_model(
    train: FeatureTable, calibration: FeatureTable, held_out: FeatureTable, tmp_path: Path
) -> None:
    made = learn(joined(train, calibration, held_out), tmp_path, family="logistic regression")
    assert load_model(tmp_path).digest == made.model.digest
    card = (tmp_path / "deposits.card.md").read_text("utf-8")
    assert made.model.digest in card
    assert "rendered plugs only" in card
    assert f"{made.scores[0][1].balanced[0]:.3f}" in card
    assert [name for name, _ in made.scores] == ["Unseen designs and lights"]


def test_a_missing_split_is_refused(train: FeatureTable, calibration: FeatureTable, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"a split is missing \(seen: test\)"):
        learn(joined(train, calibration), tmp_path)
    assert not list(tmp_path.iterdir())
