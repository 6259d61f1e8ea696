"""Every figure a model is judged by, computed on plugs it never saw."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.suggestion.chances import distance, view_logs
from plugsight.suggestion.conformal import members
from plugsight.suggestion.model import DepositModel
from plugsight.training.plugs import Plugs, chance_of_truth, matrix, plugs_of, softened
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.deposits import Deposit

MODERATE = 0.35
"""Severity from which a deposit counts as moderate (the label rule of data_synthetic)."""
UNGRADED = (str(Deposit.BARE), str(Deposit.LIGHT))
"""Looks that have no severity: there is always the whole nose of them."""


@dataclass(frozen=True, slots=True, eq=False)
class Scores:
    """Figures on one set of plugs; an abstention counts as wrong, and as the full set.

    ``confusion`` ``(classes, classes + 1)`` counts truth by suggestion, abstentions last; a mixed plug counts as right
    with either of its labels.
    """

    plugs: int
    classes: tuple[str, ...]
    confusion: NDArray[np.int64]
    balanced: tuple[float, float, float]
    """Balanced accuracy with its 95 % bootstrap bounds."""
    balanced_moderate: tuple[float, float, float]
    """The same of plugs with at least a moderate deposit, and of bare and light noses, which have no severity."""
    balanced_answered: tuple[float, float, float]
    """The same without the abstentions."""
    recall: tuple[float, ...]
    abstained: float
    ece: float
    log_loss: float
    covered: float
    covered_by_class: tuple[float, ...]
    set_size: float


@dataclass(frozen=True, slots=True, eq=False)
class Answers:
    """What a model says of every plug of a table, as ``suggest`` would.

    ``chances`` ``(plugs, classes)``; ``sets`` class numbers a plug; ``silent`` and ``right`` ``(plugs,)``: abstained, and
    whether the top class is a right one (of an abstention: would have been).
    """

    classes: tuple[str, ...]
    plugs: Plugs
    chances: NDArray[np.float64]
    sets: tuple[NDArray[np.intp], ...]
    silent: NDArray[np.bool_]
    right: NDArray[np.bool_]


def answer(model: DepositModel, table: FeatureTable) -> Answers:
    """Ask ``model`` about all plugs of ``table``; views unlike anything learnt are left out as in use."""
    names = tuple(map(str, model.classes))
    plugs, x = plugs_of(table, names), matrix(table)
    if not len(plugs):
        none = np.zeros(0, bool)
        return Answers(names, plugs, np.zeros((0, len(names))), (), none, none)
    logs = view_logs(model, x)
    known = distance(model.novelty, x) <= model.novelty.limit
    pooled = np.stack(
        [logs[rows[known[rows]] if known[rows].any() else rows].mean(axis=0) for rows in plugs.rows]
    )
    chances = softened(pooled, model.temperature)
    sets = tuple(members(c, model.thresholds) for c in chances)
    silent = np.array([not known[rows].any() for rows in plugs.rows])
    silent |= np.array([len(s) > len(names) / 2 for s in sets])
    top = chances.argmax(axis=1)
    return Answers(names, plugs, chances, sets, silent, (top == plugs.label) | (top == plugs.second))


def score(model: DepositModel, table: FeatureTable, *, seed: int = 1) -> Scores:
    """Score ``model`` on all plugs of ``table``."""
    made = answer(model, table)
    names, plugs, chances, silent, right = made.classes, made.plugs, made.chances, made.silent, made.right
    said = np.where(right, plugs.label, chances.argmax(axis=1))
    said[silent] = len(names)
    confusion = np.zeros((len(names), len(names) + 1), np.int64)
    np.add.at(confusion, (plugs.label, said), 1)
    pairs = zip(plugs.label, plugs.second, made.sets, strict=True)
    hit = np.array([(p in s) or (q in s) for p, q, s in pairs]) | silent
    size = np.where(silent, len(names), [len(s) for s in made.sets])
    good = right & ~silent
    moderate = (plugs.severity >= MODERATE) | np.isin(np.array(names)[plugs.label], UNGRADED)
    return Scores(
        plugs=len(plugs),
        classes=names,
        confusion=confusion,
        balanced=_balanced(good, plugs.label, len(names), seed),
        balanced_moderate=_balanced(good[moderate], plugs.label[moderate], len(names), seed),
        balanced_answered=_balanced(right[~silent], plugs.label[~silent], len(names), seed),
        recall=_by_class(good, plugs.label, len(names)),
        abstained=float(silent.mean()),
        ece=top_label_ece(chances.max(axis=1), right),
        log_loss=float(-np.log(np.clip(chance_of_truth(chances, plugs), 1e-12, 1)).mean()),
        covered=float(hit.mean()),
        covered_by_class=_by_class(hit, plugs.label, len(names)),
        set_size=float(size.mean()),
    )


def balanced_of(plugs: Plugs, right: NDArray[np.bool_]) -> float:
    """Mean over the deposits present of the share of their plugs that are ``right`` ``(plugs,)``."""
    return float(np.mean([right[plugs.label == k].mean() for k in np.unique(plugs.label)]))


def _by_class(what: NDArray[np.bool_], label: NDArray[np.intp], classes: int) -> tuple[float, ...]:
    """Share of ``what`` among the plugs of each class; NaN for a class without plugs."""
    return tuple(float(what[label == k].mean()) if (label == k).any() else np.nan for k in range(classes))


def _balanced(
    good: NDArray[np.bool_], label: NDArray[np.intp], classes: int, seed: int
) -> tuple[float, float, float]:
    """Mean recall over the classes present, with bounds from 1,000 bootstrap draws within classes."""
    groups = [good[label == k] for k in range(classes) if (label == k).any()]
    if not groups:
        return (np.nan, np.nan, np.nan)
    rng = np.random.default_rng(seed)
    draws = np.mean([rng.choice(g, (1000, g.size)).mean(axis=1) for g in groups], axis=0)
    low, high = np.quantile(draws, [0.025, 0.975])
    return float(np.mean([g.mean() for g in groups])), float(low), float(high)


def top_label_ece(
    confidence: NDArray[np.float64],
    right: NDArray[np.bool_],
    bins: int = 15,
    edges: NDArray[np.float64] | None = None,
) -> float:
    """Expected calibration error of the top label (Guo et al., ICML 2017, eq. 3).

    ``confidence`` and ``right`` are ``(n,)``. Bins hold equal mass unless ``edges`` are given; a value on an edge
    belongs to the bin below, (low, high], and equal values never part.
    """
    cuts = np.quantile(confidence, np.linspace(0, 1, bins + 1)) if edges is None else edges
    number = np.searchsorted(cuts[1:-1], confidence, side="left")
    parts = [number == k for k in np.unique(number)]
    return float(sum(p.sum() * abs(right[p].mean() - confidence[p].mean()) for p in parts) / confidence.size)
