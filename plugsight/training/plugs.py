"""Views of a feature table gathered into plugs, since a person decides a plug and not a photo."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.suggestion.chances import KINDS
from plugsight.training.table import FeatureTable


@dataclass(frozen=True, slots=True, eq=False)
class Plugs:
    """One entry a plug: the rows of its views, its class number, the class also right (-1: none), its severity."""

    rows: tuple[NDArray[np.intp], ...]
    label: NDArray[np.intp]
    second: NDArray[np.intp]
    severity: NDArray[np.float32]

    def __len__(self) -> int:
        """Number of plugs."""
        return len(self.rows)


def matrix(table: FeatureTable) -> NDArray[np.float32]:
    """Rows ``(views, features + 3)`` in the layout of ``suggestion.chances.rows_of``."""
    one_hot = np.stack([table.kind == str(kind) for kind in KINDS], axis=1)
    return np.concatenate([table.values, one_hot.astype(np.float32)], axis=1)


def plugs_of(table: FeatureTable, classes: tuple[str, ...]) -> Plugs:
    """Gather views by plug; plugs whose deposit is not among ``classes`` are left out."""
    number = {name: k for k, name in enumerate(classes)}
    order = np.argsort(table.plug, kind="stable")
    starts = np.flatnonzero(np.r_[True, table.plug[order][1:] != table.plug[order][:-1]])
    groups = [g for g in np.split(order, starts[1:]) if len(g) and table.deposit[g[0]] in number]
    first = [g[0] for g in groups]
    return Plugs(
        tuple(groups),
        np.array([number[table.deposit[i]] for i in first], np.intp),
        np.array([number.get(table.second[i], -1) for i in first], np.intp),
        table.severity[first],
    )


def pooled_logs(logs: NDArray[np.float64], plugs: Plugs) -> NDArray[np.float64]:
    """Mean log-chances ``(plugs, classes)`` over each plug's views."""
    return np.stack([logs[rows].mean(axis=0) for rows in plugs.rows])


def softened(logs: NDArray[np.float64], temperature: float) -> NDArray[np.float64]:
    """Chances ``(plugs, classes)`` from pooled log-chances at a temperature."""
    scaled = logs / temperature
    chances = np.exp(scaled - scaled.max(axis=1, keepdims=True))
    return np.asarray(chances / chances.sum(axis=1, keepdims=True), np.float64)


def chance_of_truth(chances: NDArray[np.float64], plugs: Plugs) -> NDArray[np.float64]:
    """Chance ``(plugs,)`` given to the right label; of a mixed plug the better of its two right ones."""
    at = np.arange(len(plugs))
    first = chances[at, plugs.label]
    other = np.where(plugs.second >= 0, chances[at, np.maximum(plugs.second, 0)], 0.0)
    return np.asarray(np.maximum(first, other), np.float64)
