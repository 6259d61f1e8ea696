"""Which sets of shared causes can matter to the answer: on many cylinders most of them can't."""

from collections.abc import Sequence

import numpy as np

from plugsight.causes.cylinder_table import CylinderTable
from plugsight.causes.joint import EnginePart, joint_chance
from plugsight.causes.problem import Floats, Ints

NEGLIGIBLE = 1e-11
"""Share of the evidence's probability that may be dropped unenumerated."""
WHAT_IF = 1e-9
"""The same for what is only asked by the way: what a finding weighs, what a check may tell."""
FEW_SETS = 1000
"""Up to this many sets nothing is dropped."""


def worth_keeping(
    engine: EnginePart,
    sets: Ints,
    weight: Floats,
    tables: Sequence[CylinderTable],
    rows: Sequence[Ints],
    negligible: float = NEGLIGIBLE,
) -> Ints:
    """Return the numbers of the sets to keep; the rest together stay below ``negligible`` of the total, strictly.

    The engine's own findings can only lower a set's weight and no table exceeds 1, so the product over some of the
    cylinders bounds every set from above; some likely sets, added up exactly, bound the total from below. ``weight``
    (N,) is that of each set before any finding present.
    """
    if len(weight) <= FEW_SETS:
        return np.arange(len(weight))
    bound = weight
    for table, row in zip(tables, rows, strict=True):
        bound = bound * table.likelihood[:, 0][row]
    size = np.frexp(np.maximum(bound, np.finfo(np.float64).tiny))[
        1
    ]  # by powers of two: sorting would cost more than it saves
    size -= size.min()
    likeliest = np.cumsum(np.bincount(size)[::-1])  # how many sets, from the greatest power of two down
    enough = len(likeliest) - 1 - np.searchsorted(likeliest, FEW_SETS)
    top = np.flatnonzero(size >= enough)
    exact = joint_chance(engine, sets[:, top], tables, [row[top] for row in rows])
    least = float((weight[top] * np.einsum("ij->i", exact)).sum())
    dropped = np.searchsorted(np.cumsum(np.bincount(size, bound)), negligible * least)
    return np.flatnonzero(size >= dropped)
