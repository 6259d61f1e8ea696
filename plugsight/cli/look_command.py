"""``plugsight look``: the photos of one plug."""

from pathlib import Path
from typing import Annotated

import cv2
import typer

from plugsight.cli.engine_file.spec_words import spec_from_words
from plugsight.cli.faults import NEEDS_PERSON
from plugsight.cli.options import CleanedOption, PhotosArgument
from plugsight.cli.report_files import write_aside
from plugsight.cli.screen import console, line, progress
from plugsight.cli.show_look import show_plug
from plugsight.features import Features
from plugsight.flow import PhotoLook, look_at
from plugsight.flow import look as pool
from plugsight.photo import photo_file
from plugsight.vocabulary.refusal import Abstention


def look(
    photos: PhotosArgument,
    thread: Annotated[
        str, typer.Option(help="Thread, the ruler in the photo: M14x1.25, M10x1.0 ...")
    ] = "M14x1.25",
    gap: Annotated[
        str | None, typer.Option(help='Gap the engine asks for: "0.7-0.8 mm" or "0.028 in".')
    ] = None,
    overlay: Annotated[
        Path | None,
        typer.Option(help="Write the photo with parts and gap line drawn in (PNG).", metavar="FILE"),
    ] = None,
    cleaned: CleanedOption = False,
) -> None:
    """Look at the photos of one plug: what is measured, what it suggests.

    Take the photo side-on with the strap in profile, beside a grey card, before wiping. Nothing is saved.
    """
    spec = spec_from_words(thread, gap)
    looks = [
        look_at(path.name, photo_file(path), spec, cleaned=cleaned)
        for path in progress(photos, "looking", lambda p: p.name)
    ]
    out = console()
    seen = pool(looks)
    show_plug(out, seen)
    if overlay is not None:
        _write_overlays(overlay, looks)
    if isinstance(seen.suggestion, Abstention):
        raise typer.Exit(NEEDS_PERSON)


def _write_overlays(target: Path, looks: list[PhotoLook]) -> None:
    seen = [look.features for look in looks if isinstance(look.features, Features)]
    for number, features in enumerate(seen, 1):
        path = target if len(seen) == 1 else target.with_stem(f"{target.stem}_{number}")
        _, data = cv2.imencode(".png", cv2.cvtColor(features.overlay, cv2.COLOR_RGB2BGR))
        write_aside(path, data.tobytes())
        line(console(), f"overlay: {path}")
