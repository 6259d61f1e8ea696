"""The measurements that most drove a suggestion, computed from the model itself."""

import numpy as np
from numpy.typing import NDArray

from plugsight.features.catalogue import entry_of
from plugsight.features.look import LOOK, look_name
from plugsight.suggestion.chances import FLOOR
from plugsight.suggestion.model import DepositModel
from plugsight.suggestion.record import Reason


def reasons(model: DepositModel, rows: NDArray[np.float32], top: int, count: int = 3) -> tuple[Reason, ...]:
    """Return the ``count`` features whose replacement by the usual value costs class ``top`` most log-chance.

    Each feature of ``rows`` ``(views, features + 3)`` is set to its value on a light, normal nose, one at a time, in
    every view; the drop of the mean log-chance is its weight. The learned look counts as one feature: all of its columns
    change together, and it is told by the look of ``top``. Features not measured in any view are passed over; fewer
    reasons come back where fewer features speak for ``top``.
    """
    looks = {k for k, name in enumerate(model.names) if name.startswith(LOOK)}
    own = look_name(model.classes[top])
    told = [k for k, name in enumerate(model.names) if k not in looks or name == own]
    changed = np.repeat(rows[None], len(told), axis=0)
    for case, column in zip(changed, told, strict=True):
        for one in looks if column in looks else {column}:
            seen = ~np.isnan(case[:, one])
            case[seen, one] = model.usual[one]
    stacked = np.concatenate([rows[None], changed]).reshape(-1, rows.shape[1])
    chances = np.clip(model.estimator.predict_proba(stacked)[:, top], FLOOR, 1.0)
    logs = np.log(chances).reshape(len(told) + 1, len(rows)).mean(axis=1)
    drop = logs[0] - logs[1:]
    drop[np.isnan(rows[:, told]).all(axis=0)] = -np.inf
    best = [told[k] for k in np.argsort(-drop, kind="stable")[:count] if drop[k] > 0]
    values = [float(np.nanmean(rows[:, k])) for k in best]
    return tuple(
        Reason(model.names[k], value, entry_of(model.names[k]).say(value))
        for k, value in zip(best, values, strict=True)
    )
