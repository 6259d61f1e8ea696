"""The room's verb: which check tells most per minute, and when to stop."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from plugsight.causes.bands import POSSIBLE, RAISED
from plugsight.causes.catalogue import Catalogue
from plugsight.causes.engine_model import EngineModel, engine_model
from plugsight.causes.evidence import Evidence
from plugsight.causes.inference import infer
from plugsight.causes.load_knowledge import catalogue
from plugsight.causes.nested import told_apart
from plugsight.causes.nodes import Node
from plugsight.causes.observe import observe
from plugsight.causes.problem import Floats, Posterior
from plugsight.causes.record import Causes
from plugsight.causes.seen import Seen
from plugsight.checks.known import KnownCheck, known_checks
from plugsight.checks.record import NextCheck, NextChecks
from plugsight.checks.sites import already_known, doubt_at, sites_of
from plugsight.checks.standstill import standstill
from plugsight.checks.value import entropy, value_of
from plugsight.checks.wording import meanings, why_needed, why_worth
from plugsight.vocabulary.outcomes import CheckOutcome

LEAST_BITS = 0.08
LEAST_BITS_PER_MINUTE = 0.004
"""Below either a check is not worth its time (from memory)."""
SETUP_MINUTES = 5.0
"""Counted for every check besides its own minutes: tools out, engine ready, tools away (from memory)."""
CLEARLY = 0.5
"""From here on the leading cause is repaired next, so a check that the repair needs is proposed (from memory)."""
EARLY = 3
"""Such a check stands among the first so many,"""
SURE = 0.8
"""and first of all from here on (from memory)."""


@dataclass(frozen=True, slots=True, eq=False)
class _Bench:
    """What is known when the choice is made; ``standing`` (causes,) is 1 for the causes whose doubt counts."""

    evidence: Evidence
    known: Catalogue
    model: EngineModel
    seen: tuple[Seen, ...]
    now: Posterior
    standing: Floats
    lead: Node | None


def choose_checks(
    evidence: Evidence,
    causes: Causes | None = None,
    *,
    minutes_per_intrusion: float = 0.0,
    knowledge: Catalogue | None = None,
) -> NextChecks:
    """Rank the checks that are worth their time, most telling per minute first.

    A check is proposed at the one place where it can settle most. One that the leading cause's repair needs anyway
    (to find the place, to clear the cylinder) is proposed too, among the first three.

    Parameters
    ----------
    evidence
        As for ``find_causes``; checks whose outcome is in it are not proposed again.
    causes
        The ranking that ``find_causes`` gave, for the words; the value is worked out from the evidence itself.
    minutes_per_intrusion
        Extra minutes counted for each degree of intrusiveness (0 look ... 3 open the engine).
    knowledge
        Another catalogue than the one that ships.

    """
    bench = _bench(evidence, knowledge or catalogue())
    held = standstill(bench.seen, bench.known)
    found = [
        proposed
        for check in known_checks()
        if check.applies_to(evidence.engine) and not (held and check.turns_engine)
        for proposed in _weighed(check, bench, minutes_per_intrusion)
    ]
    found.sort(key=lambda c: -c.bits_per_minute)
    _bring_forward(found, bench)
    return NextChecks(tuple(found), stop="" if found else _stop(causes), remarks=(held,) if held else ())


def _bench(evidence: Evidence, known: Catalogue) -> _Bench:
    model = engine_model(evidence.engine, known)
    seen = observe(evidence, known)
    now = infer(model.problem(seen))
    chances = now.flat
    prior = np.array([node.prior for node in model.nodes])
    possible = (chances >= POSSIBLE) | (chances >= RAISED * prior)
    first = int(np.argmax(chances))
    return _Bench(
        evidence=evidence,
        known=known,
        model=model,
        seen=seen,
        now=now,
        standing=np.asarray(possible & told_apart(model, chances), dtype=np.float64),
        lead=model.nodes[first] if chances[first] >= CLEARLY else None,
    )


def _weighed(check: KnownCheck, bench: _Bench, minutes_per_intrusion: float) -> Iterator[NextCheck]:
    """Yield the check at the place where it tells most, if it is worth its time or the repair needs it."""
    model, known = bench.model, bench.known
    doubt = entropy(bench.now.flat) * bench.standing
    sites = [
        (doubt_at(check, site, model, doubt, known), site)
        for site in sites_of(check, model.engine)
        if not already_known(check, site, bench.evidence, bench.seen, known)
    ]
    needed = [pair for pair in sites if _needs(bench.lead, check, pair[1])]
    open_doubt, site = max(needed or sites, key=lambda pair: pair[0], default=(0.0, CheckOutcome("", "")))
    if not needed and open_doubt < LEAST_BITS:
        return
    value = value_of(check, site, bench.seen, bench.now, bench.standing, model, known)
    minutes = SETUP_MINUTES + check.minutes + minutes_per_intrusion * check.intrusive
    if needed or (value.bits >= LEAST_BITS and value.bits >= LEAST_BITS_PER_MINUTE * minutes):
        yield NextCheck(
            id=check.id,
            name=check.name,
            cylinder=site.cylinder,
            minutes=check.minutes,
            tools=check.tools,
            skill=check.skill,
            how=check.how,
            outcomes=meanings(check, value, model, bench.now.flat),
            cautions=check.cautions_on(model.engine),
            bits=value.bits,
            bits_per_minute=value.bits / minutes,
            why=why_needed(bench.lead) if needed and bench.lead else why_worth(value, model, bench.standing),
            source=check.source,
            bank=site.bank,
            intrusive=check.intrusive,
        )


def _needs(lead: Node | None, check: KnownCheck, site: CheckOutcome) -> bool:
    """Whether the leading cause's repair needs this check here."""
    return (
        lead is not None
        and lead.cause.id in check.locates
        and (site.cylinder is None or site.cylinder in lead.site.cylinders)
    )


def _bring_forward(found: list[NextCheck], bench: _Bench) -> None:
    """Move the first check that the leading cause's repair needs to the front, or among the first three."""
    lead = bench.lead
    needed = {check.id for check in known_checks() if lead is not None and lead.cause.id in check.locates}
    at = next((i for i, check in enumerate(found) if check.id in needed), 0)
    place = 0 if bench.now.flat.max() >= SURE else EARLY - 1
    if at > place:
        found.insert(place, found.pop(at))


def _stop(causes: Causes | None) -> str:
    if causes is None or not causes.separable:
        return "No check is worth its time: none of those known would tell the causes still standing apart."
    first = causes.ranked[0]
    if catalogue().causes[first.id].benign:
        return "No check is worth its time: nothing speaks for a fault."
    return f"No further check is worth its time: {first.name} ({first.site}) stands clear. Repair, then look again."
