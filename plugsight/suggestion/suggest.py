"""The room's verb: a calibrated set for one plug, or the reason why there is none."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from plugsight.features import Features
from plugsight.suggestion import conformal
from plugsight.suggestion.active import active_folder
from plugsight.suggestion.chances import distance, pool, rows_of, view_logs
from plugsight.suggestion.model import DepositModel
from plugsight.suggestion.model_file import load_model
from plugsight.suggestion.prior import prior_named
from plugsight.suggestion.record import Chance, DamageChance, Suggestion
from plugsight.suggestion.split import splitters
from plugsight.suggestion.why import reasons
from plugsight.view.record import ViewKind
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.quality import Quality, QualityNote
from plugsight.vocabulary.refusal import Abstention

UNFIT = {Quality.BLURRED, Quality.TOO_DARK, Quality.TOO_BRIGHT, Quality.SEVERAL_PLUGS, Quality.NO_CARD}
"""Flags under which colour or texture can't be trusted."""

NEVER_ALONE = {Deposit.WET_FUEL, Deposit.MINERAL}
"""No optical signature of their own once dry: suggested only beside another deposit."""

NEAREST = 3
"""Deposits named where too many can't be told apart: on rendered plugs of unseen designs the truth was among the three
likeliest in 93 % (2026-11-26)."""

HEAT_SIGNS = {Damage.BLUED_METAL, Damage.BLISTERED_NOSE, Damage.MELTED_ELECTRODE}
"""A white nose is chalk white only together with one of these; else it may as well be bare."""


def suggest(
    views: Sequence[Features], *, model: DepositModel | None = None, prior: str = "even"
) -> Suggestion | Abstention:
    """Suggest what covers one plug's nose, its ``views`` pooled.

    Parameters
    ----------
    views
        At least one view of the same plug, untouched.
    model
        The model in use by default.
    prior
        Name of the prior over deposits.

    Returns
    -------
    Suggestion or Abstention
        Abstains where every photo is unfit or unlike anything learnt, where the set would hold more than half of
        all deposits, or where no usable model is installed, with the reason and what to do.

    """
    try:
        used = model or load_model(active_folder())
    except InputError as error:
        # No usable model is no reason to stop the job: the person decides by eye.
        return Abstention(f"{error.where}: {error.rule}", f"{error.remedy} Until then decide by eye.")
    fit = [view for view in views if not _unfit(view)]
    if not fit:
        note = _unfit(views[0]) if views else None
        reason = note.words if note else "no photo of this plug"
        return Abstention(reason, note.remedy if note else "Photograph it untouched against the grey card.")
    rows = rows_of(used, fit)
    known = distance(used.novelty, rows) <= used.novelty.limit
    if not known.any():
        return Abstention(
            "this photo is unlike anything the suggestion was learnt from",
            "Check that the outline lies on the plug; retake it side-on against the grey card, or decide by eye.",
        )
    rows = rows[known]
    chosen = prior_named(prior, used.classes)
    chances = pool(view_logs(used, rows), used.temperature, chosen.weights)
    damage = _damage(used, rows)
    kept = [used.classes[k] for k in conformal.members(chances, used.thresholds)]
    named = _with_company(used, chances, kept, {d.damage for d in damage})
    if len(named) > len(used.classes) / 2:
        nearest = ", ".join(named[:NEAREST])
        facing = any(view.kind is ViewKind.END for view in fit)
        again = "Take the end view again," if facing else "Take an end view of the nose as well,"
        return Abstention(
            f"{len(named)} of {len(used.classes)} deposits can't be told apart on this photo (nearest: {nearest})",
            f"{again} nearer and in even light, or decide by eye.",
        )
    top = int(np.argmax(chances))
    order = np.argsort(-chances, kind="stable")
    return Suggestion(
        members=tuple(named),
        coverage=used.coverage,
        chances=tuple(Chance(used.classes[k], float(chances[k])) for k in order),
        damage=damage,
        why=reasons(used, rows, top),
        split_by=splitters(named),
        severity=None,
        model_digest=used.digest,
        prior=chosen.words,
    )


def _unfit(view: Features) -> QualityNote | None:
    return next((note for note in view.notes if note.flag in UNFIT), None)


def _damage(model: DepositModel, rows: NDArray[np.float32]) -> tuple[DamageChance, ...]:
    """Findings whose highest chance over the views reaches the finding's own threshold."""
    found = []
    for damage, one in model.damage.items():
        chance = float(one.estimator.predict_proba(rows)[:, 1].max())
        if chance >= one.threshold:
            found.append(DamageChance(damage, chance))
    return tuple(sorted(found, key=lambda d: -d.chance))


def _with_company(
    model: DepositModel, chances: NDArray[np.float64], kept: list[Deposit], damage: set[Damage]
) -> list[Deposit]:
    """Add the members that honesty asks for beside the conformal ones, keeping the order of chances."""
    named = set(kept)
    if Deposit.CHALK_WHITE in named and not damage & HEAT_SIGNS:
        named.add(Deposit.BARE)
    order = [model.classes[k] for k in np.argsort(-chances, kind="stable")]
    if named <= NEVER_ALONE:
        named.add(next(d for d in order if d not in NEVER_ALONE))
    return [d for d in order if d in named]
