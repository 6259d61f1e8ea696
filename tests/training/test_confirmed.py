"""Labelled sets become rows; engines are parted for ever; a weight is chosen on engines left out."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from plugsight.features import catalogue_digest
from plugsight.labels import FORMAT, Grade, LabelledPhoto, LabelledPlug, LabelledSet
from plugsight.suggestion.model import DepositModel
from plugsight.training.confirmed import LEARN, LOCKED, confirmed_table, locked
from plugsight.training.fit import fit
from plugsight.training.promotion import coverage_spread
from plugsight.training.reweigh import reweigh
from plugsight.training.score import answer, score
from plugsight.training.table import FeatureTable
from plugsight.training.trial import hold_trial, recalibrate
from plugsight.vocabulary.errors import InputError


def plug(number: int, *, blind: bool = True, cleaned: bool = False, deposit: str = "ash") -> LabelledPlug:
    photo = LabelledPhoto(f"images/{number}.jpg", f"{number}", "end", cleaned=cleaned, values=(41.0, None))
    return LabelledPlug(
        plug=f"p{number}", engine=f"e{number}", cylinder=1, position="", deposits=(deposit,), damage=(), absent=(),
        damage_absent=(), grade=Grade.EYE, blind=blind, suggested=(), model_digest="", decided="2026-03-04",
        photos=(photo,),
    )  # fmt: skip


def labelled(*plugs: LabelledPlug) -> LabelledSet:
    names = ("nose_L", "nose_a")
    return LabelledSet(FORMAT, "2026-03-04", "t", "CC0", "given", catalogue_digest(), names, True, plugs)  # noqa: FBT003


def test_rows_carry_what_was_measured_and_confirmed() -> None:
    table = confirmed_table([labelled(plug(1), plug(2, cleaned=True))])
    assert list(table.plug) == ["p1"]
    assert list(table.deposit) == ["ash"]
    assert table.values[0, table.names.index("nose_L")] == 41
    assert np.isnan(table.values[0]).sum() == len(table.names) - 1


def test_the_later_set_counts_for_a_plug_in_two() -> None:
    table = confirmed_table([labelled(plug(1)), labelled(plug(1, deposit="glaze"))])
    assert list(table.deposit) == ["glaze"]


def test_a_set_of_another_catalogue_is_refused() -> None:
    with pytest.raises(InputError, match="measured with another catalogue"):
        confirmed_table([replace(labelled(plug(1)), catalogue="0" * 64)])


def test_engines_are_parted_for_ever_and_by_hash_alone() -> None:
    parted = [locked(f"e{n}") for n in range(2000)]
    # 30 % of 2,000, four standard deviations of a binomial
    assert abs(np.mean(parted) - 0.3) < 4 * np.sqrt(0.3 * 0.7 / 2000)
    table = confirmed_table([labelled(*(plug(n, blind=n % 2 == 0) for n in range(60)))])
    for engine, split in zip(table.group, table.split, strict=True):
        assert split in (LOCKED if locked(engine) else LEARN)
    assert set(table.split) == {*LEARN, *LOCKED}


@pytest.fixture(scope="module")
def shifted(make_up: Callable[..., FeatureTable]) -> FeatureTable:
    """Another light: what marks deposits at home tells nothing here, and other features do."""
    table = make_up(160, 7, "x")
    moved = table.values.copy()
    moved[:, :15], moved[:, 15:30] = table.values[:, 15:30], table.values[:, :15]
    split = np.where(
        np.char.endswith(table.group, "1") | np.char.endswith(table.group, "2"),
        "locked, blind",
        "learnt, blind",
    )
    return replace(table, values=moved, split=split)


def test_confirmed_photos_win_back_what_a_shift_cost(
    train: FeatureTable,
    calibration: FeatureTable,
    held_out: FeatureTable,
    model: DepositModel,
    shifted: FeatureTable,
) -> None:
    kept, test = (shifted.where(shifted.split == s) for s in ("learnt, blind", "locked, blind"))
    own = reweigh(train, calibration, kept, family="logistic regression", weights=(0.25, 4.0))
    made = fit(train, calibration, family="logistic regression", own=own)
    assert answer(made, test).right.mean() > answer(model, test).right.mean() + 0.3
    assert set(made.learnt) == set(kept.plug)
    assert not set(made.learnt) & set(test.plug)
    assert "confirmed photos" in made.trained
    assert answer(made, held_out).right.mean() > answer(model, held_out).right.mean() - 0.05


def test_with_few_blind_plugs_nothing_is_decided(model: DepositModel, shifted: FeatureTable) -> None:
    few = shifted.where(shifted.split == "locked, blind").where(
        np.arange((shifted.split == "locked, blind").sum()) < 20
    )
    made = hold_trial(model, model, few)
    assert not made.decision.promote
    assert made.decision.words.startswith("not enough yet: 10 blind test plugs, 20 more")


def test_plugs_a_model_was_fitted_on_are_no_test(model: DepositModel, shifted: FeatureTable) -> None:
    knows = replace(model, learnt=tuple(map(str, shifted.plug)))
    made = hold_trial(model, knows, shifted)
    assert (made.old, made.new, made.decision.plugs) == (None, None, 0)


def test_limits_are_set_anew_from_nineteen_blind_plugs_on(model: DepositModel, shifted: FeatureTable) -> None:
    kept = shifted.where(shifted.split == "learnt, blind")
    names = list(dict.fromkeys(kept.plug))
    few = recalibrate(model, kept.where(np.isin(kept.plug, names[:18])))
    assert (few.model, few.plugs) == (None, 18)
    enough = recalibrate(model, kept.where(np.isin(kept.plug, names[:19])))
    assert enough.model is not None
    # 19 plugs at 95 %: the rank rule takes the largest of the 19 scores, so all 19 sets hold their truth
    assert score(enough.model, kept.where(np.isin(kept.plug, names[:19]))).covered == 1.0
    assert coverage_spread(19)[0] == pytest.approx(0.95)
