"""The shipped feature table and model belong to the catalogue as it stands; the model is small and knows its figures."""

from pathlib import Path

import numpy as np
import pytest

from plugsight.features import CANONICAL_NAMES
from plugsight.features.catalogue import catalogue_digest
from plugsight.segments.model_file import model_path
from plugsight.suggestion.model_file import NAME, load_model
from plugsight.training.plugs import plugs_of
from plugsight.training.score import answer
from plugsight.training.table import FeatureTable, read_table
from plugsight.vocabulary.deposits import Deposit

TABLE = Path(__file__).parents[2] / "data_synthetic" / "features.npz"


@pytest.fixture(scope="module")
def table() -> FeatureTable:
    # read_table refuses a table of another catalogue: this is the test that fails when it is staler.
    return read_table(TABLE)


def test_the_table_is_as_new_as_the_catalogue(table: FeatureTable) -> None:
    assert table.catalogue == catalogue_digest()
    assert table.names == CANONICAL_NAMES
    assert {*table.split} == {"train", "calibration", "test", "shift"}


def test_no_plug_stands_in_two_splits(table: FeatureTable) -> None:
    homes = {(plug, split) for plug, split in zip(table.plug, table.split, strict=True)}
    assert len(homes) == len(set(table.plug))


def test_every_deposit_is_in_every_split(table: FeatureTable) -> None:
    for split in ("train", "calibration", "test", "shift"):
        assert {*table.deposit[table.split == split]} == {*map(str, Deposit)}


def test_the_shipped_model_is_small_and_of_this_catalogue() -> None:
    assert (model_path() / NAME).stat().st_size < 4 * 2**20
    assert load_model().catalogue == catalogue_digest()


def test_the_shipped_model_is_far_better_than_chance_on_unseen_designs(table: FeatureTable) -> None:
    test = table.where(table.split == "test")
    made = answer(load_model(), test)
    plugs = plugs_of(test, tuple(map(str, load_model().classes)))
    recalls = [made.right[plugs.label == k].mean() for k in range(len(made.classes))]
    # 12 deposits: chance is 0.083. The card has the figure itself; this only tells a swapped or empty model apart.
    assert np.mean(recalls) > 0.3


def test_the_card_is_of_the_shipped_model() -> None:
    assert load_model().digest in (model_path() / "deposits.card.md").read_text("utf-8")
