"""``plugsight benchmark``: every figure the suggestion is held to, in one go."""

from collections.abc import Iterable
from pathlib import Path
from typing import Annotated

import numpy as np
import typer
from numpy.typing import NDArray

from plugsight.cli.screen import console, heading, line
from plugsight.cli.screen import table as show_table
from plugsight.suggestion.active import active_folder
from plugsight.suggestion.model_file import load_model
from plugsight.training.benchmark import (
    Figure,
    accuracy_figures,
    coverage_figure,
    peer_figures,
    refusal_figures,
    retraining_figure,
    shift_figures,
    silence_figures,
)
from plugsight.training.crops import read_crops
from plugsight.training.families import FAMILIES
from plugsight.training.peer import compare_with_peer
from plugsight.training.refusal import bundled_pictures, plug_pictures, rendered_pictures
from plugsight.training.score import score
from plugsight.training.table import read_table
from plugsight.vocabulary.honesty import RENDERED_ONLY


def benchmark(
    features: Annotated[Path, typer.Argument(help="The shipped feature table.", metavar="TABLE")],
    nothing: Annotated[
        Path | None, typer.Option(help="Render folder of pictures without a plug.", metavar="FOLDER")
    ] = None,
    model: Annotated[
        Path | None, typer.Option(help="Folder of a model; the one in use if left out.", metavar="FOLDER")
    ] = None,
    draws: Annotated[int, typer.Option(help="Draws of confirmed plugs; 0 leaves the shift out.", min=0)] = 10,
    bundled: Annotated[
        int, typer.Option(help="Crops of each bundled picture; 0 leaves refusals out.", min=0)
    ] = 8,
    photos: Annotated[
        list[Path] | None,
        typer.Option(help="Render folder of whole photos of plugs; may be repeated.", metavar="FOLDER"),
    ] = None,
    peer: Annotated[
        Path | None,
        typer.Option(
            help="Folder with the crops in train/, calibration/ and test/: compare with the peer.",
            metavar="FOLDER",
        ),
    ] = None,
    workers: Annotated[int, typer.Option(help="Processes to use.", min=1)] = 2,
) -> None:
    """Print every figure the suggestion is held to, with its goal."""
    out, used, rows = console(), load_model(model or active_folder()), read_table(features)
    family = next((name for name in FAMILIES if name in used.trained), next(iter(FAMILIES)))
    line(out, f"Model {used.digest[:12]}: {used.trained}. {RENDERED_ONLY}")
    test = rows.where(rows.split == "test")
    _show("Accuracy, calibration, sets", accuracy_figures(used, test))
    _confusion(score(used, test).classes, score(used, test).confusion)
    _show("Coverage", [coverage_figure(used, rows.where(np.isin(rows.split, ["calibration", "test"])))])
    if bundled:
        pictures = [*bundled_pictures(bundled), *(rendered_pictures(nothing) if nothing else ())]
        _show("Refusal", refusal_figures(used, pictures, workers))
    if photos:
        shown = [one for folder in photos for one in plug_pictures(folder)]
        _show("Silence", silence_figures(used, shown, workers))
    if draws and (rows.split == "shift").any():
        _show("Shift", shift_figures(used, rows, family, draws))
    if peer:
        learnt, near, seen = (list(read_crops(peer / split)) for split in ("train", "calibration", "test"))
        _show("Peer", peer_figures(compare_with_peer(used, learnt, near, seen, test)))
    _show("Retraining", [retraining_figure(rows, family)])


def _show(title: str, figures: Iterable[Figure]) -> None:
    out = console()
    heading(out, title)
    words = {True: "met", False: "MISSED", None: ""}
    show_table(
        out, ("figure", "value", "goal", ""), [(f.name, f.value, f.goal, words[f.met]) for f in figures]
    )


def _confusion(classes: tuple[str, ...], counts: NDArray[np.int64]) -> None:
    """Numbers head the columns, so that twelve fit on a narrow screen; - is an abstention."""
    numbered = enumerate(zip(classes, counts, strict=True), 1)
    rows = [(f"{number} {name}", *map(str, row)) for number, (name, row) in numbered]
    show_table(console(), ("truth", *map(str, range(1, len(classes) + 1)), "-"), rows)
