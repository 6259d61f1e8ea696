"""The chance of all evidence given which shared causes act: the cylinders' tables and the engine's own findings."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plugsight.causes.combinations import product_over
from plugsight.causes.cylinder_table import CylinderTable
from plugsight.causes.problem import Floats, Ints, Problem

BLOCK = 1024


@dataclass(frozen=True, slots=True, eq=False)
class EnginePart:
    """The engine's own findings that are present, for n live shared causes.

    ``silent`` (2**k, n): chance that an acting cause raises none of the coupled findings chosen; ``sign`` (2**k,) the
    same for the leaks, with the sign of inclusion and exclusion. ``plain_leak`` (j,) and ``plain`` (j, n): leaks and
    strengths of the findings that no local cause can raise.
    """

    silent: Floats
    sign: Floats
    plain_leak: Floats
    plain: Floats


def engine_part(problem: Problem, live: Ints) -> EnginePart:
    """Prepare the engine's own findings for the shared causes ``live`` (n,)."""
    silent, sign = np.ones((1, len(live))), np.ones(1)
    for leak, strength in zip(problem.coupled_leak, problem.coupled[live].T, strict=True):
        silent = np.concatenate([silent, silent * (1 - strength)])
        sign = np.concatenate([sign, sign * (leak - 1)])
    return EnginePart(silent, sign, problem.plain_leak, problem.plain[live].T)


def joint_chance(
    engine: EnginePart, sets: Ints, tables: Sequence[CylinderTable], rows: Sequence[Ints]
) -> Floats:
    """Chance of all evidence per set and choice of coupled engine findings: ``(N, 2**k)``, signed.

    ``sets`` is ``(3, N)``; ``rows`` (N,) per cylinder are the sets as the cylinder's table sees them. The sum over the
    choices is the chance itself.
    """
    plain = (1 - (1 - engine.plain_leak[:, None]) * product_over(sets, 1 - engine.plain)).prod(axis=0)
    silent = np.concatenate([engine.silent, np.ones((len(engine.sign), 1))], axis=1).T.copy()
    factors = [(silent, member) for member in sets]
    factors += [(table.likelihood, row) for table, row in zip(tables, rows, strict=True)]
    joint = np.empty((sets.shape[1], len(engine.sign)))
    factor = np.empty((BLOCK, len(engine.sign)))
    for start in range(0, len(joint), BLOCK):  # in blocks that stay in the processor's cache
        part = joint[start : start + BLOCK]
        block = slice(start, start + len(part))
        np.multiply(plain[block, None], engine.sign, out=part)
        for chances, which in factors:
            part *= np.take(chances, which[block], axis=0, out=factor[: len(part)], mode="clip")
    return joint
