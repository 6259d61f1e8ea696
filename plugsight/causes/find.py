"""The room's verb: evidence of one engine in, ranked causes with their why out."""

from dataclasses import replace

import numpy as np

from plugsight.causes.bands import bands
from plugsight.causes.catalogue import Catalogue
from plugsight.causes.engine_model import EngineModel, engine_model
from plugsight.causes.evidence import Evidence
from plugsight.causes.inference import infer
from plugsight.causes.load_knowledge import catalogue
from plugsight.causes.nested import told_apart
from plugsight.causes.observe import observe
from plugsight.causes.problem import Floats, Posterior
from plugsight.causes.pruning import WHAT_IF
from plugsight.causes.record import Band, Causes, RankedCause
from plugsight.causes.remarks import another_story, crowded, remarks
from plugsight.causes.seen import Seen
from plugsight.causes.why import Group, groups_of, reasons, weights
from plugsight.vocabulary.errors import DecisionMissing

_HARMLESS = frozenset(
    {
        *("light", "bare", "red_tint", "well_oil", "well_dirty", "gap_narrow"),
        *("km_many", "km_few", "run_mild", "run_hard", "gas_or_alcohol", "oil_used"),
    }
)
"""What may be present on an engine with nothing wrong (common practice)."""


def find_causes(evidence: Evidence, knowledge: Catalogue | None = None) -> Causes:
    """Rank every cause that this engine can have, most probable first.

    The same cause at a narrower place is left out where it stands higher at a wider one (see ``nested``). Harmless
    causes (nothing wrong, new plugs, gas fuel) are offered only while nothing seen or told is a sign of a fault.

    Parameters
    ----------
    evidence
        Confirmed findings and circumstances. A plug marked "can't tell" counts as not seen.
    knowledge
        Another catalogue than the one that ships.

    Raises
    ------
    DecisionMissing
        Where a plug of the engine has no confirmation.
    InputError
        Where a check outcome names no known check, outcome or cylinder.

    """
    _all_decided(evidence)
    known = knowledge or catalogue()
    seen = observe(evidence, known)
    model = engine_model(evidence.engine, known)
    posterior = infer(model.problem(seen))
    ranked = _explained(model, posterior, seen, known)
    if _nothing_wrong(seen):
        harmless = engine_model(evidence.engine, known, benign=True)
        ranked += _explained(harmless, infer(harmless.problem(seen)), seen, known)
    ranked.sort(key=lambda cause: -cause.probability)
    said = (*remarks(evidence, posterior.left_out), *crowded(model.over_limit(seen), known))
    causes = _banded(ranked, posterior.left_out, said)
    signs = [s for s in seen if s.present and s.place is None and s.finding not in _HARMLESS]
    return replace(causes, remarks=(*another_story(causes.ranked, model, signs), *said))


def _all_decided(evidence: Evidence) -> None:
    decided = {c.place for c in evidence.confirmations}
    missing = [
        f"{c} {p}".strip()
        for c in range(1, evidence.engine.cylinders + 1)
        for p in evidence.engine.positions
        if not any(d.cylinder == c and d.position == p for d in decided)
    ]
    if missing:
        msg = f"nobody has decided plug {', '.join(missing)}: confirm or correct it, or say 'can't tell'"
        raise DecisionMissing(msg)


def _nothing_wrong(seen: tuple[Seen, ...]) -> bool:
    """Whether some plug was seen, none shows more than a harmless look, and nothing told or read says otherwise."""
    present = [s for s in seen if s.present]
    return any(s.place is not None for s in present) and all(s.finding in _HARMLESS for s in present)


def _explained(
    model: EngineModel, posterior: Posterior, seen: tuple[Seen, ...], known: Catalogue
) -> list[RankedCause]:
    full = posterior.flat
    dropped = model.over_limit(seen)
    relevant = tuple(s for s in seen if s.finding in model.rows and s not in dropped)
    groups = groups_of(relevant, known, len(model.local))

    def without(group: Group) -> Floats:
        gone = {*group.seen}
        return infer(model.problem(s for s in relevant if s not in gone), WHAT_IF).flat

    weight = weights(groups, full, without)
    found = []
    listed = told_apart(model, full)
    for column, node in enumerate(model.nodes):
        if not listed[column]:
            continue
        speaks_for, against = reasons(node, groups, weight[:, column], model)
        found.append(
            RankedCause(
                id=node.cause.id,
                name=node.cause.name,
                site=node.site,
                probability=float(full[column]),
                prior=node.prior,
                band=Band.UNLIKELY,
                speaks_for=speaks_for,
                speaks_against=against,
                repair=node.cause.repair,
            )
        )
    return found


def _banded(ranked: list[RankedCause], left_out: float, said: tuple[str, ...]) -> Causes:
    given = bands(np.array([c.probability for c in ranked]), np.array([c.prior for c in ranked]))
    causes = tuple(
        RankedCause(
            c.id, c.name, c.site, c.probability, c.prior, band, c.speaks_for, c.speaks_against, c.repair
        )
        for c, band in zip(ranked, given, strict=True)
    )
    return Causes(causes, separable=Band.MOST_LIKELY in given, left_out=left_out, remarks=said)
