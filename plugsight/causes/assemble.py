"""From single observed findings to the arrays that the inference takes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from plugsight.causes.problem import CylinderNumbers, Floats, Problem


@dataclass(frozen=True, slots=True, eq=False)
class Observed:
    """One finding that was looked for, and whether it is there.

    ``cylinder`` is the index (from 0) of the only cylinder whose local causes can raise it, None for a finding of the
    whole engine. ``shared`` is ``(S,)``; ``local`` holds ``(L,)`` strengths per cylinder index (one missing = none).
    """

    present: bool
    leak: float
    cylinder: int | None
    shared: Floats
    local: Mapping[int, Floats]


def assemble(shared_prior: Floats, local_prior: Sequence[Floats], findings: Sequence[Observed]) -> Problem:
    """Sort findings by cylinder and by presence; absent ones become one factor per cause.

    A leak of 1 on an absent finding, or of 0 on a present one without a possible cause, is impossible evidence.
    """
    engine = [f for f in findings if f.cylinder is None]
    coupled = [f for f in engine if f.present and any((s > 0).any() for s in f.local.values())]
    plain = [f for f in engine if f.present and not any((s > 0).any() for s in f.local.values())]
    absent = [f for f in engine if not f.present]
    n = len(shared_prior)
    cylinders = []
    for index, prior in enumerate(local_prior):
        here = [f for f in findings if f.cylinder == index]
        there = [f for f in here if f.present]
        gone = [f for f in here if not f.present]
        none = np.zeros(len(prior))
        cylinders.append(
            CylinderNumbers(
                prior=prior,
                leak=_leaks(there),
                shared=_columns([f.shared for f in there], n),
                local=_columns([f.local.get(index, none) for f in there], len(prior)),
                local_engine=_columns([f.local.get(index, none) for f in coupled], len(prior)),
                shared_off=_off([f.shared for f in gone], n),
                local_off=_off([f.local.get(index, none) for f in (*gone, *absent)], len(prior)),
                log_off=float(np.log1p(-_leaks(gone)).sum()),
            )
        )
    return Problem(
        prior=shared_prior,
        coupled_leak=_leaks(coupled),
        coupled=_columns([f.shared for f in coupled], n),
        plain_leak=_leaks(plain),
        plain=_columns([f.shared for f in plain], n),
        off=_off([f.shared for f in absent], n),
        cylinders=tuple(cylinders),
        log_off=float(np.log1p(-_leaks(absent)).sum()),
    )


def _leaks(findings: Sequence[Observed]) -> Floats:
    return np.array([f.leak for f in findings], dtype=np.float64)


def _columns(strengths: Sequence[Floats], rows: int) -> Floats:
    return np.stack(strengths, axis=1) if strengths else np.zeros((rows, 0))


def _off(strengths: Sequence[Floats], rows: int) -> Floats:
    return np.asarray((1 - _columns(strengths, rows)).prod(axis=1))
