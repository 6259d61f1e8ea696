"""Exact posterior of a two-level noisy-OR under the rule that at most three shared causes act at once.

Noisy-OR: P(finding) = 1 - (1 - leak) * prod(1 - strength of each acting cause) (Pearl 1988, p. 184). Given the shared
causes the cylinders are independent, so each is summed out alone (``cylinder_table``). Shared causes that can raise no
present finding only lose weight by what is absent: they enter as symmetric sums instead of being enumerated. Findings
of the whole engine that local causes raise too couple the cylinders: they are taken in by inclusion and exclusion.
"""

import numpy as np
from scipy.sparse import csc_array

from plugsight.causes.combinations import (
    product_over,
    rows_seen,
    sets_of_at_most_three,
    sizes,
    symmetric_sums,
)
from plugsight.causes.cylinder_table import CylinderTable, cylinder_table
from plugsight.causes.joint import engine_part, joint_chance
from plugsight.causes.multiply import times
from plugsight.causes.problem import MOST_SHARED, Floats, Ints, Posterior, Problem
from plugsight.causes.pruning import NEGLIGIBLE, worth_keeping


def infer(problem: Problem, negligible: float = NEGLIGIBLE) -> Posterior:
    """Return the exact posterior of every cause: none is off by more than ``negligible``.

    With no evidence at all the posteriors are the priors under the at-most-three rule. Priors must be below 1 and
    leaks of present findings above 0, else the evidence may be impossible and the result undefined (NaN).
    """
    odds = problem.prior / (1 - problem.prior)
    away = problem.off.copy()
    for numbers in problem.cylinders:
        away *= numbers.shared_off
    weight = odds * away
    live = _live(problem)
    inert = np.setdiff1d(np.arange(len(odds)), live)
    sets = sets_of_at_most_three(len(live))
    size = sizes(len(live))
    sums = symmetric_sums(weight[inert])
    base = product_over(sets, weight[live])
    tables = [cylinder_table(numbers, live) for numbers in problem.cylinders]
    rows = [rows_seen(len(live), table.seen) for table in tables]
    room = np.cumsum(sums)[MOST_SHARED - size]  # weight of the inert causes that may act besides
    engine = engine_part(problem, live)
    keep = worth_keeping(engine, sets, base * room, tables, rows, negligible)
    sets, size, base, room = sets[:, keep], size[keep], base[keep], room[keep]
    rows = [row[keep] for row in rows]
    joint = joint_chance(engine, sets, tables, rows)
    bare = base * np.einsum("ij->i", joint)  # weight of each set, the inert causes not yet added
    total = float((bare * room).sum())
    shared = np.zeros(len(odds))
    shared[live] = _members(sets, bare * room, len(live)) / total
    by_size = np.asarray(np.bincount(size, weights=bare, minlength=MOST_SHARED + 1), dtype=np.float64)
    shared[inert] = _inert(weight[inert], sums, by_size) / total
    joint *= (base * room)[:, None]
    local = tuple(_local(table, row, joint, total) for table, row in zip(tables, rows, strict=True))
    kept = float(symmetric_sums(odds).sum())  # prior weight of at most three, relative to none acting
    log_evidence = float(np.log(total / kept) + sum(t.log_scale for t in tables) + problem.log_off)
    left_out = 1 - float(np.exp(np.log1p(-problem.prior).sum())) * kept
    return Posterior(shared, local, log_evidence, max(0.0, left_out))


def _live(problem: Problem) -> Ints:
    raises = (problem.coupled > 0).any(axis=1) | (problem.plain > 0).any(axis=1)
    for numbers in problem.cylinders:
        raises |= (numbers.shared > 0).any(axis=1)
    return np.flatnonzero(raises)


def _members(sets: Ints, weights: Floats, n: int) -> Floats:
    return np.asarray(sum(np.bincount(member, weights, n + 1)[:n] for member in sets))


def _inert(weights: Floats, sums: Floats, by_size: Floats) -> Floats:
    """Weight of all sets that hold each inert cause; ``by_size`` (4,) is the live part's weight per set size."""
    without = np.ones((len(weights), MOST_SHARED))  # symmetric sums of the others, order 0 to 2
    for order in range(1, MOST_SHARED):
        without[:, order] = sums[order] - weights * without[:, order - 1]
    room = np.cumsum(without, axis=1)[:, ::-1]  # live part of size 0, 1, 2 leaves room for 2, 1, 0 more
    return np.asarray(weights * (room @ by_size[:MOST_SHARED]))


def _local(table: CylinderTable, row: Ints, joint: Floats, total: float) -> Floats:
    """Posterior of one cylinder's own causes: everything but this cylinder, times the cause acting in it."""
    sets_seen = len(table.likelihood)
    gather = csc_array((np.ones(len(row)), row, np.arange(len(row) + 1)), shape=(sets_seen, len(row)))
    mine = table.likelihood
    gathered = np.asarray(gather @ joint)
    others = np.divide(gathered, mine, out=np.zeros_like(gathered), where=mine > 0)
    by_state = times(table.lift, others).T  # (2**k, 2**m)
    posterior = table.quiet.copy()
    posterior[table.active] = (
        times(table.states[1:].reshape(len(table.active), by_state.size), by_state.reshape(-1, 1))[:, 0]
        / total
    )
    return posterior
