"""The model record: what a suggestion is computed from."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit


@dataclass(frozen=True, slots=True, eq=False)
class Novelty:
    """How unlike anything learnt a view may be.

    ``rows`` ``(n, features)`` float32 are learnt views, standardised by ``centre`` and ``spread`` (both
    ``(features,)``; NaN replaced by 0 after standardising). A view is novel when its mean distance to the ``near``
    closest rows exceeds ``limit``.
    """

    rows: NDArray[np.float32]
    centre: NDArray[np.float32]
    spread: NDArray[np.float32]
    near: int
    limit: float


@dataclass(frozen=True, slots=True, eq=False)
class DamageModel:
    """A binary finding: scikit-learn estimator and the chance from which it is shown."""

    estimator: Any
    threshold: float


@dataclass(frozen=True, slots=True, eq=False)
class DepositModel:
    """Everything needed to suggest a deposit.

    ``names`` are the catalogue features in column order; a view's row is those values followed by one-hot columns of
    its ``ViewKind`` (side, oblique, end). ``estimator`` gives chances over ``classes`` per view. ``temperature``
    sharpens or softens the pooled log-chances. ``thresholds`` holds the conformal limit per class on the score
    1 - chance, at ``coverage``. ``usual`` ``(features,)`` is the median of light, normal noses, the foil for "why".
    """

    classes: tuple[Deposit, ...]
    names: tuple[str, ...]
    catalogue: str
    estimator: Any
    temperature: float
    coverage: float
    thresholds: NDArray[np.float64]
    usual: NDArray[np.float32]
    novelty: Novelty
    damage: Mapping[Damage, DamageModel]
    trained: str
    """Where the rows came from, and when, in one sentence."""
    libraries: Mapping[str, str]
    learnt: tuple[str, ...] = ()
    """Confirmed plugs it was fitted or calibrated on, by hash: no later figure may be computed on them."""
    digest: str = ""
    """SHA-256 of the model file; empty for a model that was never saved."""
