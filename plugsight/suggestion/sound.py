"""Whether a model that was read can be used: known estimators only, trees that stay inside themselves, an answer.

scikit-learn walks trees in machine code and checks no index on the way: a model with a wrong one would end the
program. So every tree is looked at before it is used, and the model has to answer once.
"""

from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray
from sklearn.base import BaseEstimator
from sklearn.ensemble import ExtraTreesClassifier, HistGradientBoostingClassifier, VotingClassifier
from sklearn.ensemble._hist_gradient_boosting.binning import _BinMapper
from sklearn.ensemble._hist_gradient_boosting.common import PREDICTOR_RECORD_DTYPE
from sklearn.ensemble._hist_gradient_boosting.predictor import TreePredictor
from sklearn.impute import MissingIndicator, SimpleImputer
from sklearn.linear_model import LogisticRegression
from sklearn.pipeline import Pipeline
from sklearn.preprocessing import LabelEncoder, OrdinalEncoder, StandardScaler
from sklearn.tree import ExtraTreeClassifier
from sklearn.tree._tree import Tree

from plugsight.suggestion.blend import Blend
from plugsight.suggestion.chances import KINDS
from plugsight.suggestion.corrected import Corrected
from plugsight.suggestion.model import DepositModel
from plugsight.suggestion.sign import Sign

ESTIMATORS = (
    Blend,
    Corrected,
    ExtraTreeClassifier,
    ExtraTreesClassifier,
    HistGradientBoostingClassifier,
    LabelEncoder,
    LogisticRegression,
    MissingIndicator,
    OrdinalEncoder,
    Pipeline,
    Sign,
    SimpleImputer,
    StandardScaler,
    VotingClassifier,
    _BinMapper,
)
"""What the families of the training room are made of; others may rest on machine code that nobody has looked at."""
MOST_PARTS = 200_000


def check_sound(model: DepositModel) -> None:
    """Raise ``ValueError`` (or whatever the damaged part raises) where the model can't be used."""
    columns = len(model.names)
    if model.thresholds.shape != (len(model.classes),) or model.usual.shape != (columns,):
        raise ValueError("limits or medians don't fit the classes and features")
    novelty = model.novelty
    spread_out = novelty.rows.ndim == 2 and novelty.rows.shape[1:] == novelty.centre.shape == (columns,)
    if not spread_out or novelty.spread.shape != (columns,) or not 1 <= novelty.near <= len(novelty.rows):
        raise ValueError("the learnt views don't fit the features")
    width = columns + len(KINDS)
    rows = np.zeros((2, width), np.float32)
    for estimator, classes in (
        (model.estimator, len(model.classes)),
        *((one.estimator, 2) for one in model.damage.values()),
    ):
        for part, seen_columns in _parts(estimator, width):
            _check_part(part, seen_columns)
        chances = np.asarray(estimator.predict_proba(rows))
        if chances.shape != (2, classes) or not np.isfinite(chances).all():
            raise ValueError("the model gives no chances")


def _parts(whole: object, columns: int) -> Iterator[tuple[object, int]]:
    """Yield everything that ``whole`` is made of, with how many columns reach it."""
    seen: set[int] = set()
    waiting = [(whole, columns)]
    while waiting:
        part, columns = waiting.pop()
        if id(part) in seen:
            continue
        seen.add(id(part))
        if len(seen) > MOST_PARTS:
            raise ValueError("the model has too many parts")
        yield part, columns
        inner: Any = ()
        if isinstance(part, dict):
            inner = part.values()
        elif isinstance(part, list | tuple):
            inner = part
        elif isinstance(part, np.ndarray):
            inner = part.ravel() if part.dtype == object else ()
        elif isinstance(part, BaseEstimator | TreePredictor):
            inner = vars(part).values()
            columns = getattr(part, "n_features_in_", columns)
        waiting.extend((one, columns) for one in inner)


def _check_part(part: object, columns: int) -> None:
    if isinstance(part, BaseEstimator) and type(part) not in ESTIMATORS:
        raise ValueError(f"a {type(part).__name__} has no place in a model")
    if isinstance(part, TreePredictor):
        nodes = part.nodes
        if nodes.dtype != PREDICTOR_RECORD_DTYPE or nodes.ndim != 1 or not nodes.flags.c_contiguous:
            raise ValueError("a tree of another form")
        if nodes["is_categorical"].any():
            raise ValueError("a tree that splits by category")
        inner = nodes["is_leaf"] == 0
        _check_tree(inner, nodes["left"], nodes["right"], nodes["feature_idx"], columns)
    elif isinstance(part, Tree):
        if not 1 <= part.node_count <= part.capacity or part.n_features != columns:
            raise ValueError("a tree of another size")
        # as scikit-learn walks it: a node whose left child is -1 is a leaf
        _check_tree(part.children_left != -1, part.children_left, part.children_right, part.feature, columns)


def _check_tree(
    inner: NDArray[np.bool_],
    left: NDArray[np.integer[Any]],
    right: NDArray[np.integer[Any]],
    feature: NDArray[np.integer[Any]],
    columns: int,
) -> None:
    """Children come after their node (so no walk goes round in circles) and inside the tree; features exist."""
    if not len(inner):
        raise ValueError("an empty tree")
    at = np.arange(len(inner))[inner]
    for child in (left[inner].astype(np.int64), right[inner].astype(np.int64)):
        if (child <= at).any() or (child >= len(inner)).any():
            raise ValueError("a tree that leads out of itself")
    if (feature[inner] < 0).any() or (feature[inner] >= columns).any():
        raise ValueError("a tree that asks for a feature that isn't there")
