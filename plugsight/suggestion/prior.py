"""The prior over deposits: a setting, applied to the calibrated chances and always stated."""

import functools
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.errors import InputError


@dataclass(frozen=True, slots=True)
class Prior:
    """A named prior: ``words`` say it to a person; ``weights`` ``(classes,)`` are relative to an even prior."""

    name: str
    words: str
    weights: NDArray[np.float64]


@functools.cache
def _table() -> dict[str, dict[str, object]]:
    return tomllib.loads(files("plugsight.suggestion").joinpath("priors.toml").read_text("utf-8"))


def prior_named(name: str, classes: Sequence[Deposit]) -> Prior:
    """Return one prior over ``classes``; ``InputError`` for an unknown name."""
    table = _table()
    if name not in table:
        raise InputError("prior", "there is no such prior", f"Use one of: {', '.join(table)}.", name)
    odds = table[name].get("odds", {})
    weights = np.array([float(odds.get(str(c), 1.0)) for c in classes])  # type: ignore[attr-defined]
    return Prior(name, str(table[name]["words"]), weights / weights.mean())
