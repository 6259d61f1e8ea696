"""From a feature table to a model with its card: compare families, fit the best, calibrate, score on unseen designs."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from plugsight.suggestion.model import DepositModel
from plugsight.suggestion.model_file import save_model
from plugsight.training.card import write_card
from plugsight.training.compare import FamilyScore, compare
from plugsight.training.confirmed import LEARN, LOCKED
from plugsight.training.fit import Own, fit
from plugsight.training.reweigh import reweigh
from plugsight.training.score import Scores, score
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.errors import InputError

SPLITS = ("train", "calibration", "test")


@dataclass(frozen=True, slots=True, eq=False)
class Learned:
    """A saved model, the families it was chosen from, and its figures on each held-out split.

    ``weight`` is what one confirmed photo counted as; 0 where none was learnt from.
    """

    model: DepositModel
    families: tuple[FamilyScore, ...]
    scores: tuple[tuple[str, Scores], ...]
    weight: float


def learn(
    table: FeatureTable,
    folder: Path,
    *,
    family: str | None = None,
    confirmed: FeatureTable | None = None,
    seed: int = 1,
    workers: int = 1,
    scheduler: str = "",
) -> Learned:
    """Train on split ``train``, calibrate on ``calibration``, score on ``test`` and, where there, ``shift``.

    ``family`` skips the comparison, which is done as ``spread`` does with ``workers`` or ``scheduler``. Of ``confirmed`` photos those of engines outside the locked test fold are learnt
    from too, weighted by what does best on engines left out; photos of deposits that ``table`` lacks are passed over. Those of
    locked engines are scored on. The model, its digest and its
    card are written into ``folder``.

    Raises
    ------
    InputError
        Where a split is missing.

    """
    missing = [name for name in SPLITS if not (table.split == name).any()]
    if missing:
        raise InputError("feature table", "a split is missing", "Make the table again.", ", ".join(missing))
    parts = {name: table.where(table.split == name) for name in (*SPLITS, "shift")}
    families = () if family else compare(parts["train"], seed=seed, workers=workers, scheduler=scheduler)
    chosen = family or families[0].name
    own = _own(parts, confirmed, chosen, seed)
    model = save_model(fit(parts["train"], parts["calibration"], family=chosen, seed=seed, own=own), folder)
    named = [("Unseen designs and lights", parts["test"]), ("Shift domain", parts["shift"])]
    if confirmed is not None:
        named.append(
            (
                "Confirmed photos of engines never learnt from",
                confirmed.where(np.isin(confirmed.split, LOCKED)),
            )
        )
    scores = tuple((name, score(model, part, seed=seed)) for name, part in named if len(part))
    write_card(model, scores, families, folder)
    return Learned(model, families, scores, own.weight if own else 0.0)


def _own(
    parts: dict[str, FeatureTable], confirmed: FeatureTable | None, family: str, seed: int
) -> Own | None:
    if confirmed is None:
        return None
    known = np.isin(confirmed.deposit, parts["train"].deposit)
    usable = confirmed.where(np.isin(confirmed.split, LEARN) & known)
    if len(set(usable.plug)) < 2:
        return None
    return reweigh(parts["train"], parts["calibration"], usable, family=family, seed=seed)
