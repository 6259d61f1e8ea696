"""A suggestion is a calibrated set with its why, or an abstention with its remedy."""

from dataclasses import replace

import numpy as np
import pytest

from plugsight.features import Features, FeatureValue, GapWarning, catalogue_digest
from plugsight.suggestion import Suggestion, suggest
from plugsight.suggestion.model import DepositModel
from plugsight.training.table import FeatureTable
from plugsight.view.record import ViewKind
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.quality import Quality, QualityNote
from plugsight.vocabulary.refusal import Abstention, NotMeasured

GREY = np.zeros((4, 4, 3), np.uint8)
NOT = NotMeasured("not tried", "none")


def view(names: tuple[str, ...], values: np.ndarray, kind: ViewKind = ViewKind.SIDE) -> Features:
    return Features(
        photo_digest="d", kind=kind, catalogue=catalogue_digest(),
        values=tuple(FeatureValue(n, float(v)) for n, v in zip(names, values, strict=True)),
        gap=NOT, gap_warning=GapWarning.NO_SPEC, gap_line=None, edge_radius=NOT, nose_projection=NOT, tilt_deg=0.0,
        px_per_mm=30.0, nose_lab=None, canonical=GREY, overlay=GREY,
    )  # fmt: skip


@pytest.fixture
def sooty(model: DepositModel) -> Features:
    values = np.zeros(len(model.names))
    values[3:6] = 2.5  # what marks dry carbon in the made-up table
    return view(model.names, values)


def named(result: Suggestion | Abstention) -> Suggestion:
    assert isinstance(result, Suggestion), result
    return result


def test_the_right_deposit_leads_with_reasons_that_name_its_features(
    sooty: Features, model: DepositModel
) -> None:
    made = named(suggest([sooty], model=model))
    assert made.members[0] is Deposit.DRY_CARBON
    assert sum(c.chance for c in made.chances) == pytest.approx(1)
    assert {r.feature for r in made.why} <= set(model.names[3:6])
    assert all(str(round(r.value)) in r.words or r.words for r in made.why)


def test_changing_the_named_measurements_changes_the_suggestion(sooty: Features, model: DepositModel) -> None:
    why = named(suggest([sooty], model=model)).why
    values = {v.name: v.value for v in sooty.values}
    for reason in why:
        values[reason.feature] = float(model.usual[model.names.index(reason.feature)])
    changed = replace(sooty, values=tuple(FeatureValue(n, v) for n, v in values.items()))
    before = {c.deposit: c.chance for c in named(suggest([sooty], model=model)).chances}
    after = suggest([changed], model=model)
    left = {c.deposit: c.chance for c in after.chances} if isinstance(after, Suggestion) else {}
    assert left.get(Deposit.DRY_CARBON, 0) < 0.5 * before[Deposit.DRY_CARBON]


def test_two_agreeing_views_are_surer_than_one_and_a_doubt(sooty: Features, model: DepositModel) -> None:
    doubt = view(model.names, np.zeros(len(model.names)), ViewKind.END)
    both = named(suggest([sooty, sooty], model=model))
    mixed = suggest([sooty, doubt], model=model)
    top = (
        {c.deposit: c.chance for c in mixed.chances}[Deposit.DRY_CARBON]
        if isinstance(mixed, Suggestion)
        else 0
    )
    assert both.chances[0].chance > top


def test_the_prior_is_a_setting_and_is_stated(sooty: Features, model: DepositModel) -> None:
    even = named(suggest([sooty], model=model))
    shop = named(suggest([sooty], model=model, prior="workshop"))
    assert "from memory" in shop.prior
    assert even.prior != shop.prior
    light = {c.deposit: c.chance for c in even.chances}[Deposit.LIGHT]
    assert {c.deposit: c.chance for c in shop.chances}[Deposit.LIGHT] > light


def test_white_without_heat_signs_may_as_well_be_bare(model: DepositModel) -> None:
    values = np.zeros(len(model.names))
    values[9:12] = 4.0  # what marks chalk white in the made-up table
    cold = named(suggest([view(model.names, values)], model=model))
    assert {Deposit.BARE, Deposit.CHALK_WHITE} <= set(cold.members)
    assert any("blued" in s.words for s in cold.split_by)
    values[-1] = 0.9  # the sign of blued metal: a heat sign
    hot = named(suggest([view(model.names, values)], model=model))
    assert Damage.BLUED_METAL in {d.damage for d in hot.damage}
    assert hot.members[0] is Deposit.CHALK_WHITE


@pytest.mark.parametrize("flag", [Quality.BLURRED, Quality.NO_CARD])
def test_an_unfit_photo_is_an_abstention_with_its_remedy(
    sooty: Features, model: DepositModel, flag: Quality
) -> None:
    unfit = replace(sooty, notes=(QualityNote(flag, "not fit", "take it again"),))
    refused = suggest([unfit], model=model)
    assert isinstance(refused, Abstention)
    assert (refused.reason, refused.remedy) == ("not fit", "take it again")


def test_a_photo_unlike_anything_learnt_is_an_abstention(model: DepositModel) -> None:
    refused = suggest([view(model.names, np.full(len(model.names), 50.0))], model=model)
    assert isinstance(refused, Abstention)
    assert "unlike anything" in refused.reason


def test_the_order_of_views_does_not_matter(model: DepositModel, held_out: FeatureTable) -> None:
    first, second = (view(model.names, held_out.values[k]) for k in (0, 1))
    one, other = suggest([first, second], model=model), suggest([second, first], model=model)
    if isinstance(one, Suggestion) and isinstance(other, Suggestion):
        assert one.chances[0].chance == pytest.approx(other.chances[0].chance)
    assert type(one) is type(other)
