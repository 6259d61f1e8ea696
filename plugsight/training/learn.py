"""From a feature table to a model with its card: compare families, fit the best, calibrate, score on unseen designs."""

from dataclasses import dataclass
from pathlib import Path

from plugsight.suggestion.model import DepositModel
from plugsight.suggestion.model_file import save_model
from plugsight.training.card import write_card
from plugsight.training.compare import FamilyScore, compare
from plugsight.training.fit import fit
from plugsight.training.score import Scores, score
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.errors import InputError

SPLITS = ("train", "calibration", "test")


@dataclass(frozen=True, slots=True, eq=False)
class Learned:
    """A saved model, the families it was chosen from, and its figures on each held-out split."""

    model: DepositModel
    families: tuple[FamilyScore, ...]
    scores: tuple[tuple[str, Scores], ...]


def learn(table: FeatureTable, folder: Path, *, family: str | None = None, seed: int = 1) -> Learned:
    """Train on split ``train``, calibrate on ``calibration``, score on ``test`` and, where there, ``shift``.

    ``family`` skips the comparison. The model, its digest and its card are written into ``folder``.

    Raises
    ------
    InputError
        Where a split is missing.

    """
    missing = [name for name in SPLITS if not (table.split == name).any()]
    if missing:
        raise InputError("feature table", "a split is missing", "Make the table again.", ", ".join(missing))
    parts = {name: table.where(table.split == name) for name in (*SPLITS, "shift")}
    families = () if family else compare(parts["train"], seed=seed)
    chosen = family or families[0].name
    model = save_model(fit(parts["train"], parts["calibration"], family=chosen, seed=seed), folder)
    named = [("Unseen designs and lights", parts["test"]), ("Shift domain", parts["shift"])]
    scores = tuple((name, score(model, part, seed=seed)) for name, part in named if len(part))
    write_card(model, scores, families, folder)
    return Learned(model, families, scores)
