"""Whether conformal sets hold what they promise where they can: on plugs exchangeable with the calibration plugs."""

import numpy as np

from plugsight.suggestion.conformal import limits, members, scores_of
from plugsight.suggestion.model import DepositModel
from plugsight.training.plugs import chance_of_truth
from plugsight.training.score import answer
from plugsight.training.table import FeatureTable

CALIBRATION_PLUGS = 500


def exchangeable_coverage(
    model: DepositModel, held_out: FeatureTable, *, splits: int = 20, seed: int = 1
) -> tuple[float, float, int]:
    """Mean share of sets that hold the truth over random re-splits of ``held_out``, its spread, and test plugs a split.

    Each split sets the limits anew on 500 plugs and tests on all others; an abstention counts as the full set.
    """
    made = answer(model, held_out)
    scores = scores_of(chance_of_truth(made.chances, made.plugs), made.chances)
    count, classes = len(made.plugs), len(made.classes)
    shares = []
    for number in range(splits):
        order = np.random.default_rng([seed, number]).permutation(count)
        kept, test = order[:CALIBRATION_PLUGS], order[CALIBRATION_PLUGS:]
        found = limits(scores[kept], made.plugs.label[kept], classes, model.coverage)
        hits = []
        for k in test:
            named = members(made.chances[k], found)
            full = made.silent[k] or len(named) > classes / 2
            hits.append(full or made.plugs.label[k] in named or made.plugs.second[k] in named)
        shares.append(np.mean(hits))
    return float(np.mean(shares)), float(np.std(shares)), count - CALIBRATION_PLUGS
