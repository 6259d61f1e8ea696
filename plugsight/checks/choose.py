"""The room's verb: which check tells most per minute, and when to stop."""

from collections.abc import Sequence

import numpy as np

from plugsight.causes.bands import POSSIBLE, RAISED
from plugsight.causes.catalogue import Catalogue, Level
from plugsight.causes.engine_model import EngineModel, engine_model
from plugsight.causes.evidence import Evidence
from plugsight.causes.inference import infer
from plugsight.causes.load_knowledge import catalogue
from plugsight.causes.nested import told_apart
from plugsight.causes.nodes import Node
from plugsight.causes.observe import observe, outcome_findings
from plugsight.causes.problem import Floats
from plugsight.causes.record import Causes
from plugsight.causes.seen import Seen
from plugsight.checks.known import KnownCheck, known_checks
from plugsight.checks.record import NextCheck, NextChecks, OutcomeMeaning
from plugsight.checks.value import CheckValue, entropy, value_of
from plugsight.vocabulary.engine import EngineFacts
from plugsight.vocabulary.outcomes import CheckOutcome

LEAST_BITS = 0.08
LEAST_BITS_PER_MINUTE = 0.004
"""Below either a check is not worth its time (from memory)."""
SETUP_MINUTES = 5.0
"""Counted for every check besides its own minutes: tools out, engine ready, tools away (from memory)."""
_STANDSTILL = frozenset(
    {
        "metal_specks",
        "melted_electrode",
        "missing_piece",
        "struck",
        "mineral",
        "liquid_fuel",
        "liquid_oil",
        "liquid_coolant",
        "bore_damage",
        "bore_washed",
    }
)
"""Findings after which nothing is cranked or run until the cylinder is cleared (trade practice)."""


def choose_checks(
    evidence: Evidence,
    causes: Causes | None = None,
    *,
    minutes_per_intrusion: float = 0.0,
    knowledge: Catalogue | None = None,
) -> NextChecks:
    """Rank the checks that are worth their time, most telling per minute first.

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
    known = knowledge or catalogue()
    engine = evidence.engine
    model = engine_model(engine, known)
    seen = observe(evidence, known)
    now = infer(model.problem(seen))
    standing = _standing(now.flat, model)
    doubt = entropy(now.flat) * standing
    held = standstill(seen, known)
    found: list[NextCheck] = []
    for check in known_checks():
        if not check.applies_to(engine) or (held and check.turns_engine):
            continue
        for site in _sites(check, model, doubt, engine, known):
            if (
                _done(check, site, evidence, seen, known)
                or _doubt(check, site, model, doubt, known) < LEAST_BITS
            ):
                continue
            value = value_of(check, site, seen, now, standing, model, engine, known)
            minutes = SETUP_MINUTES + check.minutes + minutes_per_intrusion * check.intrusive
            if value.bits >= LEAST_BITS and value.bits >= LEAST_BITS_PER_MINUTE * minutes:
                found.append(_proposed(check, site, value, minutes, model, standing))
            break
    found.sort(key=lambda c: -c.bits_per_minute)
    return NextChecks(tuple(found), stop="" if found else _stop(causes), remarks=(held,) if held else ())


def standstill(seen: Sequence[Seen], known: Catalogue) -> str:
    """Why the engine must not be run or cranked yet, in a sentence; empty where nothing forbids it."""
    signs = [s for s in seen if s.present and s.finding in _STANDSTILL]
    if not signs:
        return ""
    said = dict.fromkeys(
        f"{known.findings[s.finding].here} ({'plug' if s.place else 'cylinder'} {s.place or s.cylinder})"
        for s in signs
    )
    return (
        f"Checks that crank or run the engine are left out: {', '.join(said)}. "
        "A borescope or the maker's procedure clears the cylinder first."
    )


def _stop(causes: Causes | None) -> str:
    if causes is None or not causes.separable:
        return "No check is worth its time: none of those known would tell the causes still standing apart."
    first = causes.ranked[0]
    if catalogue().causes[first.id].benign:
        return "No check is worth its time: nothing speaks for a fault."
    return f"No further check is worth its time: {first.name} ({first.site}) stands clear. Repair, then look again."


def _standing(now: Floats, model: EngineModel) -> Floats:
    """1 for the causes that still stand: listed, and possible or better (see ``causes.bands``); 0 for the rest."""
    prior = np.array([node.prior for node in model.nodes])
    possible = (now >= POSSIBLE) | (now >= RAISED * prior)
    return np.asarray(possible & told_apart(model, now), dtype=np.float64)


def _sites(
    check: KnownCheck, model: EngineModel, doubt: Floats, engine: EngineFacts, known: Catalogue
) -> list[CheckOutcome]:
    """Where the check could be done, the site with the most doubt that it could settle first."""
    if check.per_cylinder:
        if check.level is Level.PLUG and len(engine.positions) > 1:
            return []  # a check on one of two plugs can't be entered without its position
        sites = [CheckOutcome(check.id, "", cylinder=c) for c in range(1, engine.cylinders + 1)]
    elif check.level is Level.BANK and len(engine.banks) > 1:
        sites = [CheckOutcome(check.id, "", bank=b) for b in range(1, len(engine.banks) + 1)]
    else:
        sites = [CheckOutcome(check.id, "")]
    return sorted(sites, key=lambda site: -_doubt(check, site, model, doubt, known))


def _shows(check: KnownCheck, site: CheckOutcome, engine: EngineFacts, known: Catalogue) -> tuple[Seen, ...]:
    """Every finding that some outcome of the check tells of."""
    asked = (CheckOutcome(check.id, o.id, site.cylinder, site.bank) for o in check.outcomes)
    return tuple(s for outcome in asked for s in outcome_findings(outcome, engine, known))


def _done(
    check: KnownCheck, site: CheckOutcome, evidence: Evidence, seen: Sequence[Seen], known: Catalogue
) -> bool:
    """Whether the check was done here, or all that it would tell is known."""
    for outcome in evidence.outcomes:
        same_site = outcome.cylinder in (None, site.cylinder) and outcome.bank in (None, site.bank)
        if outcome.check == check.id and same_site:
            return True
    spots = {s.spot for s in seen}
    return all(s.spot in spots for s in _shows(check, site, evidence.engine, known))


def _doubt(
    check: KnownCheck, site: CheckOutcome, model: EngineModel, doubt: Floats, known: Catalogue
) -> float:
    """Entropy of the causes that the check tells of at this site: by itself it can settle no more."""
    shows = _shows(check, site, model.engine, known)
    return float(
        sum(
            bits
            for node, bits in zip(model.nodes, doubt, strict=True)
            if bits and any(model.raises(node, s) for s in shows)
        )
    )


def _proposed(
    check: KnownCheck,
    site: CheckOutcome,
    value: CheckValue,
    minutes: float,
    model: EngineModel,
    standing: Floats,
) -> NextCheck:
    meanings = tuple(
        OutcomeMeaning(
            outcome.id,
            outcome.words,
            f"{outcome.meaning[0].upper()}{outcome.meaning[1:]}. {_then(model, value.posteriors[row])}",
        )
        for row, outcome in enumerate(check.outcomes)
    )
    return NextCheck(
        id=check.id,
        name=check.name,
        cylinder=site.cylinder,
        minutes=check.minutes,
        tools=check.tools,
        skill=check.skill,
        how=check.how,
        outcomes=meanings,
        cautions=check.cautions_on(model.engine),
        bits=value.bits,
        bits_per_minute=value.bits / minutes,
        why=_why(value, model, standing),
        source=check.source,
        bank=site.bank,
        intrusive=check.intrusive,
    )


def _then(model: EngineModel, after: Floats) -> str:
    first = model.nodes[int(np.argmax(after))]
    return f"Then first: {_named(first)}."


def _named(node: Node) -> str:
    """A cause in short: what stands before the colon of its name, and where."""
    return f"{node.cause.name.partition(':')[0]} ({node.site})"


def _why(value: CheckValue, model: EngineModel, standing: Floats) -> str:
    """Which causes the outcomes pull furthest apart, in words."""
    spread = (value.posteriors.max(axis=0) - value.posteriors.min(axis=0)) * standing
    moved = [model.nodes[i] for i in np.argsort(-spread)[:2] if spread[i] > 0.05]
    if not moved:
        return "It tells a little of several causes."
    names = " from ".join(map(_named, moved))
    return f"It tells {names}." if len(moved) > 1 else f"It settles whether it is {names}."
