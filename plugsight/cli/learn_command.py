"""``plugsight table``, ``learn`` and ``score``: from renders and confirmed photos to a model with its figures."""

from pathlib import Path
from typing import Annotated

import typer

from plugsight.cli.screen import console, heading, line, progress_bar
from plugsight.cli.screen import table as show_table
from plugsight.labels import kept_sets, read_set
from plugsight.suggestion.active import active_folder
from plugsight.suggestion.model_file import load_model
from plugsight.training.card import figures_of
from plugsight.training.confirmed import LEARN, confirmed_table
from plugsight.training.crops import read_crops
from plugsight.training.learn import learn as learn_from
from plugsight.training.make_table import make_table
from plugsight.training.score import score as score_on
from plugsight.training.table import FeatureTable, read_table, write_table
from plugsight.vocabulary.honesty import RENDERED_ONLY

SetsOption = Annotated[
    list[Path] | None,
    typer.Option(
        "--with",
        help="A labelled set to use as well; may be repeated. Adopted sets are used always.",
        metavar="SET",
    ),
]


def confirmed_photos(more: list[Path] | None) -> FeatureTable | None:
    """Rows of all adopted sets and of those named; None where there are none."""
    sets = [*kept_sets(), *(read_set(one).labelled for one in more or ())]
    return confirmed_table(sets) if sets else None


def table(
    renders: Annotated[
        list[Path], typer.Argument(help="Folders with crops and their truth.", metavar="FOLDER...")
    ],
    to: Annotated[Path, typer.Option("--to", help="The table to write.")] = Path("features.npz"),
    workers: Annotated[int, typer.Option(help="Processes to use.", min=1)] = 2,
    scheduler: Annotated[
        str, typer.Option(help="Address of a Dask scheduler whose workers do it instead.")
    ] = "",
) -> None:
    """Measure every crop of a render folder into one feature table."""
    crops = (crop for folder in renders for crop in read_crops(folder))
    with progress_bar() as bar:
        task = bar.add_task("measuring", total=None)
        made = make_table(
            crops, workers=workers, scheduler=scheduler, done=lambda n: bar.update(task, completed=n)
        )
    write_table(made, to)
    line(console(), f"{len(made)} views measured: {to}")


def learn(
    features: Annotated[Path, typer.Argument(help="A feature table.", metavar="TABLE")],
    to: Annotated[Path, typer.Option("--to", help="Folder for model and card.")] = Path("learnt"),
    family: Annotated[str | None, typer.Option(help="Skip the comparison and fit this family.")] = None,
    more: SetsOption = None,
    workers: Annotated[int, typer.Option(help="Processes that compare the families.", min=1)] = 1,
    scheduler: Annotated[
        str, typer.Option(help="Address of a Dask scheduler whose workers compare them instead.")
    ] = "",
) -> None:
    """Train a model from a feature table and the confirmed photos, and write its card.

    Engines are parted by hash: photos of some are learnt from, those of the others only tested on, for ever. The new
    model is used only after 'plugsight promote' has shown that it is better.
    """
    out, confirmed = console(), confirmed_photos(more)
    with progress_bar() as bar:
        bar.add_task("learning", total=None)
        made = learn_from(
            read_table(features), to, family=family, confirmed=confirmed, workers=workers, scheduler=scheduler
        )
    for one in made.families:
        line(out, f"{one.name}: balanced accuracy {one.balanced_accuracy:.3f}, log-loss {one.log_loss:.3f}")
    if confirmed is not None:
        used = sum(confirmed.split == split for split in LEARN).sum()
        line(
            out,
            f"{used} confirmed photos correct what renders taught, each with a weight of {made.weight:g}; {len(confirmed) - used} kept for testing.",
        )
    for name, s in made.scores:
        line(
            out,
            f"{name}: {s.plugs} plugs, balanced accuracy {s.balanced[0]:.3f} ({s.balanced[1]:.3f} to {s.balanced[2]:.3f}), "
            f"abstained {s.abstained:.1%}, sets hold the truth {s.covered:.1%}, mean size {s.set_size:.2f}",
        )
    line(out, f"Model {made.model.digest[:12]} and its card: {to}. Use it with 'plugsight promote {to}'.")


def score(
    source: Annotated[
        Path,
        typer.Argument(help="A labelled set (folder or .zip), or a feature table (.npz).", metavar="SET"),
    ],
    model: Annotated[
        Path | None, typer.Option(help="Folder of a model; the one in use if left out.", metavar="FOLDER")
    ] = None,
) -> None:
    """Print every figure of a model on any labelled set or feature table."""
    out, used = console(), load_model(model or active_folder())
    rows = read_table(source) if source.suffix == ".npz" else confirmed_table([read_set(source).labelled])
    rendered = source.suffix == ".npz"
    line(out, f"Model {used.digest[:12]}: {used.trained}.")
    for split in sorted(set(rows.split)) or [""]:
        part = rows.where(rows.split == split)
        made = score_on(used, part)
        heading(
            out,
            f"{split or 'the set'}: {made.plugs} plugs"
            + (" (the model may have learnt from these)" if split in {"train", *LEARN} else ""),
        )
        if not made.plugs:
            line(out, "No plug of a deposit the model knows.")
            continue
        show_table(out, ("figure", "value", "goal"), figures_of(made))
        show_table(
            out,
            ("deposit", "plugs", "right", "set holds it"),
            [
                (name, str(row.sum()), f"{r:.2f}", f"{c:.2f}")
                for name, row, r, c in zip(
                    made.classes, made.confusion, made.recall, made.covered_by_class, strict=True
                )
                if row.sum()
            ],
        )
    if rendered:
        line(out, RENDERED_ONLY)
