"""Which causes can act where on one engine: every kind of cause at every site that the engine's facts allow."""

from dataclasses import dataclass

from plugsight.causes.catalogue import Catalogue, Cause
from plugsight.causes.record import Scope, Site
from plugsight.vocabulary.engine import EngineFacts, Ignition

NEAR = 4.0
"""How much likelier a local cause is at the place where it acts most, once the engine says where that is (from memory)."""


@dataclass(frozen=True, slots=True)
class Node:
    """One cause at one site, with its prior there."""

    cause: Cause
    site: Site
    prior: float


def nodes_of(engine: EngineFacts, knowledge: Catalogue, *, benign: bool) -> tuple[Node, ...]:
    """All faults (or all harmless causes) that this engine can have, in the order of the knowledge files.

    A one-cylinder engine has no set: a cause with several scopes keeps its first. Banks of one cylinder are left out.
    """
    return tuple(
        Node(cause, site, _prior(cause, site, engine))
        for cause in knowledge.causes.values()
        if cause.benign == benign and cause.applies_to(engine)
        for site in _sites(cause, engine)
    )


def _prior(cause: Cause, site: Site, engine: EngineFacts) -> float:
    prior = cause.priors[site.scope]
    if cause.susceptible and site.scope in (Scope.CYLINDER, Scope.NEIGHBOURS, Scope.BANK):
        places: tuple[int, ...] = getattr(engine, cause.susceptible)
        if places and {*site.cylinders} <= {*places}:
            return NEAR * prior
    return prior


def _sites(cause: Cause, engine: EngineFacts) -> tuple[Site, ...]:
    everyone = tuple(range(1, engine.cylinders + 1))
    scopes = tuple(cause.priors)
    if engine.cylinders == 1:
        scopes = tuple(s for s in scopes if s in (Scope.ENGINE, Scope.CYLINDER))[:1]
    sites: list[Site] = []
    pairs = coil_pairs(engine)
    for scope in scopes:
        if scope is Scope.ENGINE:
            sites.append(Site(scope, everyone))
        elif scope is Scope.BANK and len(engine.banks) > 1:
            sites.extend(Site(scope, tuple(bank)) for bank in engine.banks if len(bank) > 1)
        elif scope is Scope.COIL_PAIR:
            sites.extend(Site(scope, pair) for pair in pairs)
        elif scope is Scope.NEIGHBOURS:
            sites.extend(Site(scope, pair) for pair in neighbours(engine))
        elif scope is Scope.CYLINDER:
            # where two cylinders share a coil, the coil is no cylinder's own
            shared = {c for pair in pairs for c in pair} if Scope.COIL_PAIR in cause.priors else set()
            positions = engine.positions if cause.plug_only else ("",)
            sites.extend(Site(scope, (c,), p) for c in everyone if c not in shared for p in positions)
    return tuple(sites)


def neighbours(engine: EngineFacts) -> tuple[tuple[int, int], ...]:
    """Pairs of cylinders side by side in one casting: along rows, else banks, else 1 to n."""
    rows = engine.rows or engine.banks or (tuple(range(1, engine.cylinders + 1)),)
    return tuple((row[i], row[i + 1]) for row in rows for i in range(len(row) - 1))


def coil_pairs(engine: EngineFacts) -> tuple[tuple[int, int], ...]:
    """Cylinders that share a wasted-spark coil: as given, else those half the firing order apart (common practice)."""
    if engine.coil_pairs or engine.ignition is not Ignition.WASTED_SPARK:
        return engine.coil_pairs
    half, odd = divmod(len(engine.firing_order), 2)
    if odd or not half:
        return ()
    first, second = engine.firing_order[:half], engine.firing_order[half:]
    return tuple(sorted((min(a, b), max(a, b)) for a, b in zip(first, second, strict=True)))
