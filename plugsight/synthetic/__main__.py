"""Commands of the renderer: ``python -m plugsight.synthetic render FOLDER --count N --seed S --family train``."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from plugsight.synthetic.contact_sheet import contact_sheet
from plugsight.synthetic.describe_set import describe as describe_sets
from plugsight.synthetic.nuisance_check import nuisance_check
from plugsight.synthetic.pack_sets import pack_set, pick_samples
from plugsight.synthetic.plug_job import Recipe
from plugsight.synthetic.render_engine import find_engine
from plugsight.synthetic.render_set import gather, render_set
from plugsight.vocabulary.errors import PlugsightError

app = typer.Typer(
    no_args_is_help=True, add_completion=False, help="Physically based renders of plugs with exact truth."
)
console = Console()


@app.command()
def render(
    folder: Path,
    count: Annotated[int, typer.Option(help="plugs (or pictures without a plug)")] = 10,
    seed: int = 1,
    family: Annotated[str, typer.Option(help="train, calibration, test, shift or nothing")] = "train",
    size: Annotated[int, typer.Option(help="pixels a side")] = 768,
    spp: Annotated[int, typer.Option(help="samples a pixel; up to 48 are denoised on a CPU")] = 12,
    views: Annotated[
        str, typer.Option(help="mixed; or side, oblique, end, several joined by commas")
    ] = "mixed",
    careful: Annotated[float, typer.Option(help="share of photos taken as the bench sheet asks")] = 0.5,
    photos: Annotated[bool, typer.Option(help="keep full-size photos and masks, not only crops")] = True,
    roomy: Annotated[
        bool, typer.Option(help="frame the photos so that they hold the whole canonical crop")
    ] = False,
    workers: int = 1,
    first: Annotated[int, typer.Option(help="number of the first plug")] = 0,
    variant: Annotated[str, typer.Option(help="Mitsuba variant; empty: the first that works here")] = "",
    deadline: Annotated[float, typer.Option(help="start nothing after that many seconds")] = 1e9,
    gpus: Annotated[int, typer.Option(help="spread the workers over that many GPUs")] = 0,
    scheduler: Annotated[str, typer.Option(help="address of a Dask scheduler whose workers render")] = "",
) -> None:
    """Render plugs into FOLDER; run it again to go on where it stopped."""
    try:
        engine = find_engine(variant)
        console.print(f"renders with {engine.variant} ({engine.why})")
        recipe = Recipe(family, seed, size, spp, views, careful, photos, roomy)
        columns = (
            TextColumn("plugs"),
            BarColumn(),
            MofNCompleteColumn(),
            TextColumn("{task.fields[made]} pictures"),
        )
        with Progress(*columns, TimeRemainingColumn(), console=console) as bar:
            task = bar.add_task("plugs", total=count, made=0)

            def tell(done: int, total: int, pictures: int) -> None:
                bar.update(task, completed=done, total=total, made=pictures)

            render_set(folder, recipe, count, engine.variant, workers, first, deadline, gpus, tell, scheduler)
    except PlugsightError as problem:
        console.print(f"[red]{problem}[/red]")
        raise typer.Exit(2) from None
    total = gather(folder)
    failed = len(list((folder / "failed").glob("*.txt")))
    console.print(f"{total} pictures in {folder}; {failed} plugs failed (see {folder / 'failed'})")


@app.command()
def sheet(folder: Path, output: Path, columns: int = 9) -> None:
    """Lay a set's pictures out by deposit, slightest to heaviest, as one JPEG or PNG."""
    console.print(f"{contact_sheet(folder, output, columns)} pictures on {output}")


@app.command()
def describe(data: Path) -> None:
    """Print the counts of every rendered set below DATA."""
    for line in describe_sets(data):
        console.print(line, highlight=False, soft_wrap=True)


@app.command()
def nuisance(folders: list[Path]) -> None:
    """Try to guess the label from what must not tell it; exit 1 if a test is more than five points above chance."""
    results = nuisance_check(folders)
    for r in results:
        console.print(
            f"{r.test}: balanced accuracy {r.balanced_accuracy:.3f} ± {r.standard_error:.3f}, chance {r.chance:.3f} "
            f"({r.classes} classes, {r.pictures} pictures): {'within' if r.passed else 'NOT within'} 5 points",
            soft_wrap=True,
        )
    if not all(r.passed for r in results):
        raise typer.Exit(1)


@app.command()
def pack(
    source: Path,
    target: Path,
    first_views: Annotated[bool, typer.Option(help="keep one picture a plug")] = False,
    limit: Annotated[int, typer.Option(help="keep that many pictures; 0 all")] = 0,
    photos: Annotated[bool, typer.Option(help="keep the photos, else crops and close-ups")] = True,
    workers: int = 1,
) -> None:
    """Copy the rendered set SOURCE to TARGET as it is shipped."""
    pictures = pack_set(source, target, first_views, limit, photos, workers)
    console.print(f"{pictures} pictures in {target}")


@app.command()
def samples(target: Path, sources: list[Path], count: int = 60) -> None:
    """Write small pictures of rendered sets, spread over labels and severities, into TARGET."""
    console.print(f"{pick_samples(sources, target, count)} samples in {target}")


if __name__ == "__main__":
    app()
