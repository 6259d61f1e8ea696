"""What a check is worth before it is done: how far it is expected to settle which causes act.

Value of information: the entropy of each cause's posterior now, less its expectation over the check's outcomes, summed
over the causes still standing (bits). It is never negative: on average an outcome can't make anything less certain.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plugsight.causes.catalogue import Catalogue
from plugsight.causes.engine_model import EngineModel
from plugsight.causes.inference import infer
from plugsight.causes.observe import outcome_findings
from plugsight.causes.problem import Floats, Posterior
from plugsight.causes.pruning import WHAT_IF
from plugsight.causes.seen import Seen
from plugsight.checks.known import KnownCheck
from plugsight.vocabulary.outcomes import CheckOutcome


@dataclass(frozen=True, slots=True, eq=False)
class CheckValue:
    """Expected drop in entropy of one check at one site, and where each of its outcomes would lead.

    ``chances`` (outcomes,) sum to 1; ``posteriors`` (outcomes, causes) in the order of ``EngineModel.nodes``.
    """

    bits: float
    chances: Floats
    posteriors: Floats


def entropy(posterior: Floats) -> Floats:
    """Entropy in bits of each yes or no with the chances ``posterior`` (any shape); 0 at 0 and at 1."""
    p = np.clip(posterior, 0.0, 1.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        terms = -(p * np.log2(p) + (1 - p) * np.log2(1 - p))
    return np.where((p > 0) & (p < 1), terms, 0.0)


def value_of(
    check: KnownCheck,
    site: CheckOutcome,
    seen: Sequence[Seen],
    now: Posterior,
    standing: Floats,
    model: EngineModel,
    knowledge: Catalogue,
) -> CheckValue:
    """Return what ``check`` at ``site`` (whose outcome is not read) is worth, given what was seen.

    ``standing`` (causes,) is 1 for the causes whose doubt counts and 0 for the rest.
    Outcomes that a check lists exclude each other; where they don't cover everything that could be found, their
    chances are taken relative to each other.
    """
    logs, posteriors = [], []
    for outcome in check.outcomes:
        asked = CheckOutcome(check.id, outcome.id, site.cylinder, site.bank)
        shows = {s.spot: s for s in outcome_findings(asked, model.engine, knowledge)}
        entered = [s for s in seen if s.spot not in shows] + [*shows.values()]
        after = infer(model.problem(entered), WHAT_IF)
        logs.append(after.log_evidence)
        posteriors.append(after.flat)
    chances = np.exp(np.array(logs) - max(logs))
    chances /= chances.sum()
    after_all = np.stack(posteriors)
    # the outcomes' own mean, not the posterior now, where the list of outcomes is not complete
    before = entropy(chances @ after_all) if len(logs) > 2 else entropy(now.flat)
    bits = float(before @ standing - chances @ (entropy(after_all) @ standing))
    return CheckValue(max(0.0, bits), chances, after_all)
