"""What one cylinder's findings say about every set of shared causes, its own causes summed out exactly.

A state is the set of present findings that the cylinder's own causes (or a leak) have raised; causes are added one
after the other. Only sums of products of chances occur, so nothing cancels however rare the findings are.
"""

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plugsight.causes.combinations import product_over, sets_of_at_most_three
from plugsight.causes.multiply import times
from plugsight.causes.problem import CylinderNumbers, Floats, Ints


@dataclass(frozen=True, slots=True, eq=False)
class CylinderTable:
    """Likelihoods of one cylinder, scaled so that the largest is 1 (``log_scale`` undoes it).

    Attributes
    ----------
    seen : (R,) shared causes that can raise a finding present here
    lift : (2**m, n_R) chance that the acting shared causes raise what a state leaves open
    states : (1 + A, 2**k, 2**m) row 0: all local causes summed out; row 1 + i: cause ``active[i]`` acting
    likelihood : (n_R, 2**k) of the findings here with the chosen coupled engine findings not raised here
    active : (A,) local causes that can raise a present finding
    quiet : (L,) posterior of the local causes that can't (exact; 0 at the active ones)

    """

    seen: Ints
    lift: Floats
    states: Floats
    likelihood: Floats
    active: Ints
    quiet: Floats
    log_scale: float


_KEPT: OrderedDict[tuple[bytes, ...], CylinderTable] = OrderedDict()
_KEPT_TABLES = 64
_KEPT_SIZE = 500_000
"""Numbers in a table (4 MB) above which it is not kept."""
PIECE = 4
"""Findings that one matrix raises together: few enough for small matrices, enough to make few of them."""


def cylinder_table(numbers: CylinderNumbers, live: Ints) -> CylinderTable:
    """Sum out the local causes of one cylinder.

    ``live`` holds the shared causes that can raise any present finding of the engine; ``seen`` are positions in it.
    A cylinder without evidence gives likelihood 1 throughout. The last tables are kept: what is asked next (one
    finding less, one outcome more) leaves most cylinders as they are.
    """
    key = (live.tobytes(), *numbers.key())
    table = _KEPT.pop(key, None)
    if table is None:
        table = _summed_out(numbers, live)
    if table.lift.size <= _KEPT_SIZE:
        _KEPT[key] = table
    if len(_KEPT) > _KEPT_TABLES:
        _KEPT.popitem(last=False)
    return table


def forget_tables() -> None:
    """Drop the kept tables, so that a timing is one of new evidence."""
    _KEPT.clear()


def _summed_out(numbers: CylinderNumbers, live: Ints) -> CylinderTable:
    strength = numbers.shared[live].T
    seen = np.flatnonzero((strength > 0).any(axis=0))
    sets = sets_of_at_most_three(len(seen))
    lift = _lift(1 - product_over(sets, 1 - strength[:, seen]), sets.shape[1])
    effect = np.concatenate([numbers.local, numbers.local_engine], axis=1)
    is_active = (effect > 0).any(axis=1)
    active = np.flatnonzero(is_active)
    kept = (1 - numbers.prior) + numbers.prior * numbers.local_off
    quiet = np.where(is_active, 0.0, numbers.prior * numbers.local_off / kept)
    states = _states(numbers, effect, active)
    likelihood = np.ascontiguousarray(times(states[0], lift).T)
    scale = float(likelihood.max())
    log_scale = float(np.log(scale) + np.log(kept[~is_active]).sum() + numbers.log_off)
    return CylinderTable(seen, lift, states / scale, likelihood / scale, active, quiet, log_scale)


def _lift(raised: Floats, n: int) -> Floats:
    """``(2**m, n)`` from the chance that a set of shared causes raises each finding, ``(m, n)``."""
    lift = np.ones((2 ** len(raised), n))
    for finding, chance in enumerate(raised):
        done = lift[len(lift) - 2**finding :]
        np.multiply(done, chance, out=lift[len(lift) - 2 ** (finding + 1) : len(lift) - 2**finding])
    return lift


def _states(numbers: CylinderNumbers, effect: Floats, active: Ints) -> Floats:
    m, k = len(numbers.leak), numbers.local_engine.shape[1]
    leak = np.concatenate([numbers.leak, np.zeros(k)])
    acts = numbers.prior[active] * numbers.local_off[active]
    raising = [_raising(strength) for strength in _in_pieces(np.vstack([leak, effect[active]]))]
    state = np.zeros((1 + len(active), 2 ** (m + k)))
    state[0, 0] = 1.0
    state[:1] = _raise(state[:1], [piece[0] for piece in raising])
    for row, cause in enumerate(active, start=1):  # rows below are as row 0 until their cause has its turn
        acting = _raise(state[:row], [piece[row] for piece in raising])
        acting *= acts[row - 1]
        state[:row] *= 1 - numbers.prior[cause]
        state[:row] += acting
        state[row] = acting[0]
    state = state.reshape(1 + len(active), 2**k, 2**m)
    for bit in range(k):  # from "raised exactly these" to "raised none of those chosen"
        halves = state.reshape(1 + len(active), 2 ** (k - bit - 1), 2, 2**bit * 2**m)
        state = np.stack([halves.sum(axis=2), halves[:, :, 0]], axis=2).reshape(1 + len(active), 2**k, 2**m)
    return state


def _in_pieces(strength: Floats) -> list[Floats]:
    """Cut ``(causes, findings)`` into pieces of a few findings; no findings are one empty piece."""
    return [strength[:, at : at + PIECE] for at in range(0, max(1, strength.shape[1]), PIECE)]


def _raising(strength: Floats) -> Floats:
    """Chance ``(causes, from, to)`` of each change of a piece's state when a cause acts (bit ``f`` is finding ``f``)."""
    change = np.ones((len(strength), 1, 1))
    for q in strength.T[:, :, None, None]:
        after = np.zeros((len(strength), 2, *change.shape[1:2], 2, *change.shape[1:2]))
        after[:, 0, :, 0] = change * (1 - q)
        after[:, 0, :, 1] = change * q
        after[:, 1, :, 1] = change
        change = after.reshape(len(strength), 2 * change.shape[1], 2 * change.shape[2])
    return change


def _raise(state: Floats, raising: Sequence[Floats]) -> Floats:
    """Let one cause act on states ``(rows, 2**findings)``, piece after piece of the findings."""
    result, low = state.reshape(-1, len(raising[0])) @ raising[0], len(raising[0])
    for change in raising[1:]:
        result = np.matmul(change.T, result.reshape(-1, len(change), low))
        low *= len(change)
    return result.reshape(state.shape)
