"""The noisy-OR of one engine: its causes, and how strongly each raises each finding at each place."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from plugsight.causes.assemble import Observed, assemble
from plugsight.causes.catalogue import Catalogue
from plugsight.causes.limits import over_limit
from plugsight.causes.nodes import Node, nodes_of
from plugsight.causes.problem import Floats, Problem
from plugsight.causes.record import Scope
from plugsight.causes.seen import Seen
from plugsight.vocabulary.engine import EngineFacts

ELSEWHERE = 0.3
"""How strongly an engine-wide cause shows away from the places where it acts most, once those are known (from memory)."""


@dataclass(frozen=True, slots=True, eq=False)
class EngineModel:
    """Causes of one engine (S shared, L local to each of C cylinders) and their strengths for F findings.

    Attributes
    ----------
    shared, local : the causes; ``local`` holds one tuple of equal length per cylinder
    rows : number of a finding in the strength tables
    shared_strength : (F, S), local_strength : tuple of (F, L), one per cylinder
    acts_on : (C, S) 1 where a shared cause covers the cylinder
    shows_on : (C, S) as ``acts_on``, weakened away from susceptible places
    plug_is : position -> (L,) per cylinder: 0 where a local cause belongs to another plug of the cylinder

    """

    engine: EngineFacts
    shared: tuple[Node, ...]
    local: tuple[tuple[Node, ...], ...]
    leaks: dict[str, float]
    rows: dict[str, int]
    shared_strength: Floats
    local_strength: tuple[Floats, ...]
    acts_on: Floats
    shows_on: Floats
    plug_is: dict[str, tuple[Floats, ...]]

    @property
    def nodes(self) -> tuple[Node, ...]:
        """All causes in the order of ``Posterior.flat``: shared ones, then cylinder by cylinder."""
        return (*self.shared, *(node for own in self.local for node in own))

    def raises(self, node: Node, seen: Seen) -> bool:
        """Whether a cause can raise a finding just where it was observed."""
        link = node.cause.links.get(seen.finding)
        if link is None or link.at(node.site.scope) == 0:
            return False
        if seen.place is not None and node.site.position not in ("", seen.place.position):
            return False
        cylinder = seen.place.cylinder if seen.place is not None else seen.cylinder
        if cylinder is not None:
            return cylinder in node.site.cylinders
        return not seen.bank or bool({*seen.bank} & {*node.site.cylinders})

    def problem(self, seen: Iterable[Seen]) -> Problem:
        """Enter what was observed.

        Findings that none of these causes can raise say nothing; those over the limits are left out (see ``limits``).
        """
        known = [s for s in seen if s.finding in self.rows]
        dropped = self.over_limit(known)
        return assemble(
            np.array([n.prior for n in self.shared]),
            [np.array([n.prior for n in own]) for own in self.local],
            [self._observed(s) for s in known if s not in dropped],
        )

    def over_limit(self, seen: Iterable[Seen]) -> frozenset[Seen]:
        """Findings present that are too many to be summed over exactly, the least telling ones."""
        return over_limit(
            [s for s in seen if s.finding in self.rows],
            self.leaks.__getitem__,
            lambda finding: any((strength[self.rows[finding]] > 0).any() for strength in self.local_strength),
        )

    def _observed(self, seen: Seen) -> Observed:
        row = self.rows[seen.finding]
        strength = self.shared_strength[row]
        leak = self.leaks[seen.finding]
        if seen.place is not None:
            at = seen.place.cylinder - 1
            own = self.local_strength[at][row] * self.plug_is[seen.place.position][at]
            return Observed(seen.present, leak, at, strength * self.shows_on[at], {at: own})
        if seen.cylinder is not None:
            at = seen.cylinder - 1
            return Observed(
                seen.present, leak, at, strength * self.acts_on[at], {at: self.local_strength[at][row]}
            )
        cylinders = [c - 1 for c in seen.bank] or [*range(len(self.local))]
        touched = self.acts_on[cylinders].max(axis=0) if seen.bank else 1.0
        return Observed(
            seen.present, leak, None, strength * touched, {c: self.local_strength[c][row] for c in cylinders}
        )


@lru_cache(maxsize=32)
def engine_model(engine: EngineFacts, knowledge: Catalogue, *, benign: bool = False) -> EngineModel:
    """Return the model of an engine's faults, or of the harmless causes, which share no finding with them."""
    nodes = nodes_of(engine, knowledge, benign=benign)
    shared = tuple(n for n in nodes if n.site.scope is not Scope.CYLINDER)
    everyone = range(1, engine.cylinders + 1)
    local = tuple(
        tuple(n for n in nodes if n.site.scope is Scope.CYLINDER and n.site.cylinders == (c,))
        for c in everyone
    )
    rows = {
        finding: row for row, finding in enumerate(dict.fromkeys(f for n in nodes for f in n.cause.links))
    }
    acts_on = np.array([[float(c in n.site.cylinders) for n in shared] for c in everyone]).reshape(
        len(everyone), -1
    )
    place = np.array([[_place(n, c, engine) for n in shared] for c in everyone]).reshape(len(everyone), -1)
    return EngineModel(
        engine=engine,
        shared=shared,
        local=local,
        leaks={f: knowledge.findings[f].leak for f in rows},
        rows=rows,
        shared_strength=_strength(shared, rows),
        local_strength=tuple(_strength(own, rows) for own in local),
        acts_on=acts_on,
        shows_on=acts_on * place,
        plug_is={
            p: tuple(np.array([float(n.site.position in ("", p)) for n in own]) for own in local)
            for p in engine.positions
        },
    )


def _strength(nodes: tuple[Node, ...], rows: dict[str, int]) -> Floats:
    table = np.zeros((len(rows), len(nodes)))
    for column, node in enumerate(nodes):
        for finding, link in node.cause.links.items():
            table[rows[finding], column] = link.at(node.site.scope)
    return table


def _place(node: Node, cylinder: int, engine: EngineFacts) -> float:
    places: tuple[int, ...] = getattr(engine, node.cause.susceptible) if node.cause.susceptible else ()
    return ELSEWHERE if places and cylinder not in places and node.site.scope is Scope.ENGINE else 1.0
