"""Where a check could be done, what it would tell of there, and whether that is known already."""

from collections.abc import Sequence

from plugsight.causes.catalogue import Catalogue, Level
from plugsight.causes.engine_model import EngineModel
from plugsight.causes.evidence import Evidence
from plugsight.causes.observe import outcome_findings
from plugsight.causes.problem import Floats
from plugsight.causes.seen import Seen
from plugsight.checks.known import KnownCheck
from plugsight.vocabulary.engine import EngineFacts
from plugsight.vocabulary.outcomes import CheckOutcome


def sites_of(check: KnownCheck, engine: EngineFacts) -> list[CheckOutcome]:
    """Return one outcome, not yet read, for each place: the engine, each bank, or each cylinder.

    Empty for a check on one of two plugs of a cylinder, whose outcome could not be entered.
    """
    if check.per_cylinder:
        if check.level is Level.PLUG and len(engine.positions) > 1:
            return []
        return [CheckOutcome(check.id, "", cylinder=c) for c in range(1, engine.cylinders + 1)]
    if check.level is Level.BANK and len(engine.banks) > 1:
        return [CheckOutcome(check.id, "", bank=b) for b in range(1, len(engine.banks) + 1)]
    return [CheckOutcome(check.id, "")]


def shows(check: KnownCheck, site: CheckOutcome, engine: EngineFacts, known: Catalogue) -> tuple[Seen, ...]:
    """Every finding that some outcome of the check tells of."""
    asked = (CheckOutcome(check.id, o.id, site.cylinder, site.bank) for o in check.outcomes)
    return tuple(s for outcome in asked for s in outcome_findings(outcome, engine, known))


def already_known(
    check: KnownCheck, site: CheckOutcome, evidence: Evidence, seen: Sequence[Seen], known: Catalogue
) -> bool:
    """Whether the check was done here, or what it would tell is known.

    That is: everything it could show was told, or one of its signs was told to be there (outcomes exclude each other:
    who complains of blue smoke under load has watched the smoke).
    """
    for outcome in evidence.outcomes:
        same_site = outcome.cylinder in (None, site.cylinder) and outcome.bank in (None, site.bank)
        if outcome.check == check.id and same_site:
            return True
    spots = {s.spot: s.present for s in seen}
    told = shows(check, site, evidence.engine, known)
    return all(s.spot in spots for s in told) or any(s.present and spots.get(s.spot) for s in told)


def doubt_at(
    check: KnownCheck, site: CheckOutcome, model: EngineModel, doubt: Floats, known: Catalogue
) -> float:
    """Entropy of the causes that the check tells of at this site: by itself it can settle no more."""
    told = shows(check, site, model.engine, known)
    return float(
        sum(
            bits
            for node, bits in zip(model.nodes, doubt, strict=True)
            if bits and any(model.raises(node, s) for s in told)
        )
    )
