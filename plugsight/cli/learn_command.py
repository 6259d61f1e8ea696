"""``plugsight table`` and ``plugsight learn``: from renders to a feature table to a model with its card."""

from pathlib import Path
from typing import Annotated

import typer

from plugsight.cli.screen import console, line, progress_bar
from plugsight.training.crops import read_crops
from plugsight.training.learn import learn as learn_from
from plugsight.training.make_table import make_table
from plugsight.training.table import read_table, write_table


def table(
    renders: Annotated[
        list[Path], typer.Argument(help="Folders with crops and their truth.", metavar="FOLDER...")
    ],
    to: Annotated[Path, typer.Option("--to", help="The table to write.")] = Path("features.npz"),
    workers: Annotated[int, typer.Option(help="Processes to use.", min=1)] = 2,
) -> None:
    """Measure every crop of a render folder into one feature table."""
    crops = [crop for folder in renders for crop in read_crops(folder)]
    with progress_bar() as bar:
        task = bar.add_task("measuring", total=len(crops))
        made = make_table(crops, workers=workers, done=lambda n: bar.update(task, completed=n))
    write_table(made, to)
    line(console(), f"{len(made)} views measured: {to}")


def learn(
    features: Annotated[Path, typer.Argument(help="A feature table.", metavar="TABLE")],
    to: Annotated[Path, typer.Option("--to", help="Folder for model and card.")] = Path("models"),
    family: Annotated[str | None, typer.Option(help="Skip the comparison and fit this family.")] = None,
) -> None:
    """Compare model families, fit the best, calibrate it, and score it on designs it never saw."""
    out = console()
    with progress_bar() as bar:
        bar.add_task("learning", total=None)
        made = learn_from(read_table(features), to, family=family)
    for one in made.families:
        line(out, f"{one.name}: balanced accuracy {one.balanced_accuracy:.3f}, log-loss {one.log_loss:.3f}")
    for name, s in made.scores:
        line(
            out,
            f"{name}: {s.plugs} plugs, balanced accuracy {s.balanced[0]:.3f} ({s.balanced[1]:.3f} to {s.balanced[2]:.3f}), "
            f"abstained {s.abstained:.1%}, sets hold the truth {s.covered:.1%}, mean size {s.set_size:.2f}",
        )
    line(out, f"Model {made.model.digest[:12]} and its card: {to}")
