"""Two models on the same confirmed plugs, which neither has seen; and what to do while there are too few of them."""

from dataclasses import dataclass, replace
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from plugsight.suggestion.chances import view_logs
from plugsight.suggestion.conformal import limit, scores_of
from plugsight.suggestion.model import DepositModel
from plugsight.training.confirmed import LEARN_BLIND, LOCKED_BLIND
from plugsight.training.plugs import chance_of_truth, matrix, plugs_of, pooled_logs, softened
from plugsight.training.promotion import LEAST_FOR_SETS, Promotion, decide_promotion
from plugsight.training.score import Answers, Scores, answer, score
from plugsight.training.table import FeatureTable


@dataclass(frozen=True, slots=True, eq=False)
class Trial:
    """Figures of the model in use and of the new one on the same blind plugs (None without any), and the decision."""

    old: Scores | None
    new: Scores | None
    decision: Promotion


def hold_trial(old: DepositModel, new: DepositModel, confirmed: FeatureTable) -> Trial:
    """Compare on plugs of the locked fold that were decided blind, less any that a model was fitted on."""
    seen = {*old.learnt, *new.learnt}
    test = confirmed.where((confirmed.split == LOCKED_BLIND) & ~np.isin(confirmed.plug, list(seen)))
    before, after = answer(old, test), answer(new, test)
    decision = decide_promotion(_right(before), _right(after), _names(before))
    some = len(before.plugs) > 0
    return Trial(score(old, test) if some else None, score(new, test) if some else None, decision)


def _right(answers: Answers) -> NDArray[np.bool_]:
    return answers.right & ~answers.silent


def _names(answers: Answers) -> NDArray[np.str_]:
    return np.array(answers.classes, str)[answers.plugs.label]


@dataclass(frozen=True, slots=True, eq=False)
class Recalibrated:
    """``model`` with limits from ``plugs`` blind plugs; the model is None where they are too few."""

    model: DepositModel | None
    plugs: int


def recalibrate(model: DepositModel, confirmed: FeatureTable) -> Recalibrated:
    """Set the conformal limit anew on blind plugs outside the locked fold that ``model`` was not fitted on.

    Below 19 plugs a 95 % set would be everything, so the limits stay. One common limit is set: too few plugs a deposit.
    """
    fresh = confirmed.where((confirmed.split == LEARN_BLIND) & ~np.isin(confirmed.plug, list(model.learnt)))
    names = tuple(map(str, model.classes))
    plugs = plugs_of(fresh, names)
    if len(plugs) < LEAST_FOR_SETS:
        return Recalibrated(None, len(plugs))
    chances = softened(pooled_logs(view_logs(model, matrix(fresh)), plugs), model.temperature)
    found = limit(scores_of(chance_of_truth(chances, plugs), chances), model.coverage)
    words = f"{model.trained}; limits set anew on {len(plugs)} blind plugs, {datetime.now(UTC):%Y-%m-%d}"
    learnt = tuple(sorted({*model.learnt, *map(str, fresh.plug)}))
    return Recalibrated(
        replace(model, thresholds=np.full(len(names), found), trained=words, learnt=learnt, digest=""),
        len(plugs),
    )
