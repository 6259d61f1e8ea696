"""Model families that may become the shipped classifier; compared by grouped cross-validation, never by taste."""

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from numpy.typing import NDArray
from sklearn.ensemble import ExtraTreesClassifier, HistGradientBoostingClassifier, VotingClassifier
from sklearn.impute import SimpleImputer
from sklearn.linear_model import LogisticRegression
from sklearn.pipeline import make_pipeline
from sklearn.preprocessing import StandardScaler

from plugsight.features.look import SIGN, look_name
from plugsight.suggestion.blend import Blend
from plugsight.training.plugs import matrix
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.deposits import Deposit


def _linear(seed: int) -> Any:
    filled = SimpleImputer(strategy="median", add_indicator=True, keep_empty_features=True)
    return make_pipeline(
        filled,
        StandardScaler(),
        LogisticRegression(C=0.03, max_iter=1000, class_weight="balanced", random_state=seed),
    )


def _boosted(seed: int) -> Any:
    return HistGradientBoostingClassifier(
        max_iter=80,
        learning_rate=0.1,
        max_leaf_nodes=8,
        min_samples_leaf=15,
        l2_regularization=1.0,
        max_features=0.3,
        class_weight="balanced",
        early_stopping=False,
        random_state=seed,
    )


def _trees(seed: int) -> Any:
    return ExtraTreesClassifier(
        n_estimators=60,
        min_samples_leaf=6,
        max_features=0.3,
        class_weight="balanced",
        random_state=seed,
        n_jobs=1,
    )


def _both(seed: int) -> Any:
    """Mean chance of a regression and of trees: they err on different plugs."""
    regression = LogisticRegression(C=0.03, max_iter=1000, class_weight="balanced", random_state=seed)
    return make_pipeline(
        SimpleImputer(strategy="median", add_indicator=True, keep_empty_features=True),
        StandardScaler(),
        VotingClassifier([("regression", regression), ("trees", _trees(seed))], voting="soft"),
    )


FAMILIES: Mapping[str, Callable[[int], Any]] = MappingProxyType(
    {
        "logistic regression": _linear,
        "boosted trees": _boosted,
        "extra trees": _trees,
        "regression and trees": _both,
    }
)
"""Name to a maker that takes a seed and returns an unfitted scikit-learn classifier that stands NaN."""


MIX = 0.8
"""Weight of the learned look beside the measured features: of 0.5 to 1 in steps of 0.1 it gave the least log-loss on the
calibration plugs with every family. Weights for each kind of view, a shift for each deposit, or a full matrix over the looks,
cross-validated by plug, gained nothing beyond it (2026-11-26)."""


def look_columns(names: Sequence[str]) -> dict[str, int]:
    """Deposit to the column of its learned look, of those that ``names`` hold."""
    return {str(d): names.index(look_name(d)) for d in Deposit if look_name(d) in names}


def fit_family(
    name: str,
    table: FeatureTable,
    y: NDArray[Any],
    *,
    seed: int,
    mix: float = MIX,
) -> Blend:
    """Fit family ``name`` on ``table``'s rows, blended with the learned look by ``mix``."""
    made = FAMILIES[name](seed)
    signs = tuple(k for k, one in enumerate(table.names) if one.startswith(SIGN))
    return Blend(made, look_columns(table.names), mix, signs).fit(matrix(table), y)
