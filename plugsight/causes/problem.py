"""The numbers that one exact inference works on: a two-level noisy-OR with its evidence already entered.

Conventions: ``S`` shared causes, ``L`` causes local to one cylinder, ``m`` findings present in one cylinder, ``k``
findings present that the whole engine shows and that local causes can raise too. Findings that are absent enter as
one factor per cause (``off``), because in a noisy-OR the chances of *not* raising a finding simply multiply.
"""

from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.integer[Any]]

MOST_SHARED = 3
"""At most this many shared causes act at once (design rule; the prior mass left out is computed)."""


@dataclass(frozen=True, slots=True, eq=False)
class CylinderNumbers:
    """One cylinder. All strengths are 0..1; ``leak`` is the chance that a finding shows without any modelled cause.

    Attributes
    ----------
    prior : (L,) prior of each local cause, 0 <= p < 1
    leak : (m,) leak of each finding present here, > 0
    shared : (S, m) strength of each shared cause for each finding present here
    local : (L, m) strength of each local cause for each finding present here
    local_engine : (L, k) strength of each local cause for each coupled engine finding
    shared_off : (S,) chance that an acting shared cause raises none of the findings absent here
    local_off : (L,) the same for local causes, engine findings that are absent included
    log_off : natural log of the chance that no leak raised an absent finding here

    """

    prior: Floats
    leak: Floats
    shared: Floats
    local: Floats
    local_engine: Floats
    shared_off: Floats
    local_off: Floats
    log_off: float = 0.0

    def key(self) -> tuple[bytes, ...]:
        """All that the cylinder's table depends on, to be compared: ``shared_off`` acts outside of it."""
        arrays = (self.prior, self.leak, self.shared, self.local, self.local_engine, self.local_off)
        return (np.float64(self.log_off).tobytes(), *(a.tobytes() for a in arrays))


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """The engine. A finding that only shared causes can raise stands in ``plain_*``: it couples no cylinders.

    Attributes
    ----------
    prior : (S,) prior of each shared cause, 0 <= p < 1
    coupled_leak : (k,), coupled : (S, k) engine findings present that local causes can raise too
    plain_leak : (j,), plain : (S, j) engine findings present that only shared causes can raise
    off : (S,) chance that an acting shared cause raises none of the absent engine findings
    log_off : natural log of the chance that no leak raised an absent engine finding

    """

    prior: Floats
    coupled_leak: Floats
    coupled: Floats
    plain_leak: Floats
    plain: Floats
    off: Floats
    cylinders: tuple[CylinderNumbers, ...]
    log_off: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """Posterior of every cause: ``shared`` (S,), ``local`` one (L,) per cylinder.

    ``log_evidence`` is the natural log of the probability of all evidence, given the at-most-three rule.
    ``left_out`` is the prior probability that more than three shared causes act at once.
    """

    shared: Floats
    local: tuple[Floats, ...]
    log_evidence: float
    left_out: float

    @property
    def flat(self) -> Floats:
        """All posteriors: shared causes, then cylinder by cylinder."""
        return np.concatenate([self.shared, *self.local])
