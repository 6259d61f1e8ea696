"""The same cause at nested places: one question at the bench, not several."""

import numpy as np
from numpy.typing import NDArray

from plugsight.causes.bands import POSSIBLE
from plugsight.causes.engine_model import EngineModel
from plugsight.causes.problem import Floats


def told_apart(model: EngineModel, posterior: Floats) -> NDArray[np.bool_]:
    """Whether each cause is a question of its own: ``(causes,)`` in the order of ``EngineModel.nodes``.

    A leak at one cylinder of a bank whose common leak stands higher is none, unless it is likely (0.1) by itself.
    """
    own = np.ones(len(posterior), dtype=np.bool_)
    places: dict[str, list[int]] = {}
    for index, node in enumerate(model.nodes):
        places.setdefault(node.cause.id, []).append(index)
    for same in places.values():
        for index in same:
            here = {*model.nodes[index].site.cylinders}
            own[index] = posterior[index] >= POSSIBLE or not any(
                posterior[other] > posterior[index] and here < {*model.nodes[other].site.cylinders}
                for other in same
            )
    return own
