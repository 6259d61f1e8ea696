"""``plugsight promote`` and ``plugsight revert``: another model in use, only where it proved better; and back."""

import tempfile
from pathlib import Path
from typing import Annotated

import typer

from plugsight.cli.faults import NEEDS_PERSON
from plugsight.cli.learn_command import SetsOption, confirmed_photos
from plugsight.cli.screen import console, line
from plugsight.cli.screen import table as show_table
from plugsight.suggestion import active
from plugsight.suggestion.model import DepositModel
from plugsight.suggestion.model_file import load_model, save_model
from plugsight.training.card import figures_of
from plugsight.training.promotion import LEAST_FOR_SETS, LEAST_PLUGS, coverage_spread
from plugsight.training.table import FeatureTable
from plugsight.training.trial import Recalibrated, Trial, hold_trial, recalibrate
from plugsight.vocabulary.errors import InputError


def promote(
    folder: Annotated[
        Path, typer.Argument(help="Folder of the new model, as 'plugsight learn' wrote it.", metavar="FOLDER")
    ],
    more: SetsOption = None,
) -> None:
    """Put a new model to use if it proves better on plugs that neither model saw.

    Compared are plugs of engines kept for testing that a person decided before seeing a suggestion. With too few of
    them only the limits of the model in use are set anew.
    """
    out, confirmed = console(), confirmed_photos(more)
    old, new = load_model(active.active_folder()), load_model(folder)
    if confirmed is None:
        raise InputError(
            "labelled sets",
            "there are none to compare on",
            "Share your confirmed plugs and adopt them first.",
        )
    made = hold_trial(old, new, confirmed)
    _show(made)
    if made.decision.promote:
        active.promote(folder)
        line(out, f"Model {new.digest[:12]} is in use. 'plugsight revert' goes back to {old.digest[:12]}.")
        return
    line(out, f"Model {old.digest[:12]} stays in use.")
    if made.decision.plugs < LEAST_PLUGS:
        _set_limits_anew(old, confirmed)
    raise typer.Exit(NEEDS_PERSON)


def revert() -> None:
    """Go back to the model that was used before."""
    digest = active.roll_back()
    line(console(), f"Model {digest[:12]} is in use again.")


def _show(made: Trial) -> None:
    out = console()
    if made.old and made.new:
        rows = [
            (name, before, after, goal)
            for (name, before, goal), (_, after, _) in zip(
                figures_of(made.old), figures_of(made.new), strict=True
            )
        ]
        show_table(out, (f"on {made.decision.plugs} blind plugs", "in use", "new", "goal"), rows)
    line(out, made.decision.words[0].upper() + made.decision.words[1:] + ".")


def _set_limits_anew(old: DepositModel, confirmed: FeatureTable) -> None:
    out = console()
    made: Recalibrated = recalibrate(old, confirmed)
    if made.model is None:
        line(
            out,
            f"{made.plugs} blind plugs to set limits on: below {LEAST_FOR_SETS} a 95 % set would hold every deposit, so the limits stay.",
        )
        return
    mean, low, high = coverage_spread(made.plugs)
    with tempfile.TemporaryDirectory() as aside:
        save_model(made.model, Path(aside))
        active.promote(Path(aside))
    line(
        out,
        f"Limits set anew on {made.plugs} blind plugs: on average {mean:.1%} of sets hold the truth "
        f"(95 % range {low:.1%} to {high:.1%}). 'plugsight revert' undoes it.",
    )
