"""Commands of the renderer: ``python -m plugsight.synthetic render FOLDER --count N --seed S --family train``."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from plugsight.synthetic.contact_sheet import contact_sheet
from plugsight.synthetic.plug_job import Recipe
from plugsight.synthetic.render_engine import find_engine
from plugsight.synthetic.render_set import gather, render_set
from plugsight.vocabulary.errors import PlugsightError

app = typer.Typer(no_args_is_help=True, add_completion=False, help="Physically based renders of plugs with exact truth.")
console = Console()


@app.command()
def render(
    folder: Path,
    count: Annotated[int, typer.Option(help="plugs (or pictures without a plug)")] = 10,
    seed: int = 1,
    family: Annotated[str, typer.Option(help="train, calibration, test, shift or nothing")] = "train",
    size: Annotated[int, typer.Option(help="pixels a side")] = 768,
    spp: Annotated[int, typer.Option(help="samples a pixel; up to 48 are denoised on a CPU")] = 12,
    views: Annotated[str, typer.Option(help="mixed, side, oblique or end")] = "mixed",
    careful: Annotated[float, typer.Option(help="share of photos taken as the bench sheet asks")] = 0.5,
    photos: Annotated[bool, typer.Option(help="keep full-size photos and masks, not only crops")] = True,
    roomy: Annotated[bool, typer.Option(help="frame the photos so that they hold the whole canonical crop")] = False,
    workers: int = 1,
    first: Annotated[int, typer.Option(help="number of the first plug")] = 0,
    variant: Annotated[str, typer.Option(help="Mitsuba variant; empty: the first that works here")] = "",
    deadline: Annotated[float, typer.Option(help="start nothing after that many seconds")] = 1e9,
    gpus: Annotated[int, typer.Option(help="spread the workers over that many GPUs")] = 0,
) -> None:
    """Render plugs into FOLDER; run it again to go on where it stopped."""
    try:
        engine = find_engine(variant)
        console.print(f"renders with {engine.variant} ({engine.why})")
        recipe = Recipe(family, seed, size, spp, views, careful, photos, roomy)
        columns = (TextColumn("plugs"), BarColumn(), MofNCompleteColumn(), TextColumn("{task.fields[made]} pictures"))
        with Progress(*columns, TimeRemainingColumn(), console=console) as bar:
            task = bar.add_task("plugs", total=count, made=0)

            def tell(done: int, total: int, pictures: int) -> None:
                bar.update(task, completed=done, total=total, made=pictures)

            render_set(folder, recipe, count, engine.variant, workers, first, deadline, gpus, tell)
    except PlugsightError as problem:
        console.print(f"[red]{problem}[/red]")
        raise typer.Exit(2) from None
    total = gather(folder)
    failed = len(list((folder / "failed").glob("*.txt")))
    console.print(f"{total} pictures in {folder}; {failed} plugs failed (see {folder / 'failed'})")


@app.command()
def sheet(folder: Path, output: Path, columns: int = 8, crops: bool = False) -> None:
    """Lay the set's pictures out by deposit and share covered, as one JPEG or PNG."""
    console.print(f"{contact_sheet(folder, output, columns, crops)} pictures on {output}")


if __name__ == "__main__":
    app()
