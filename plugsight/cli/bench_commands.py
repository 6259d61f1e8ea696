"""``plugsight photo`` and ``plugsight reading``: what is added to one plug."""

from typing import Annotated

import typer

from plugsight.cli.ask_readings import ask_readings
from plugsight.cli.options import (
    AskOption,
    CleanedOption,
    InspectionArgument,
    PhotosArgument,
    PlugArgument,
    StoreOption,
)
from plugsight.cli.screen import console, line, progress
from plugsight.cli.session import casebook, person_present, plug_of
from plugsight.cli.show_look import show_photo
from plugsight.flow import readings_of
from plugsight.photo import photo_file
from plugsight.readings import ReadingEntry, ReadingKind, judge_readings
from plugsight.vocabulary.errors import InputError

Texts = list[str] | None


def photo(
    inspection: InspectionArgument,
    plug: PlugArgument,
    photos: PhotosArgument,
    cleaned: CleanedOption = False,
    store: StoreOption = None,
) -> None:
    """Add photos to one plug."""
    to = console()
    with casebook(store) as book:
        case = book.load(inspection)
        place = plug_of(case, plug)
        for path in progress(photos, "looking", lambda p: p.name):
            case = book.add_photo(case, place, path.name, photo_file(path), cleaned=cleaned)
        for seen in case.plug(place).photos:
            show_photo(to, seen)


def reading(
    inspection: InspectionArgument,
    plug: PlugArgument,
    gap: Annotated[
        Texts, typer.Option(help='Wire gauge: "0.82 mm"; once per ground electrode.', metavar="TEXT")
    ] = None,
    resistance: Annotated[
        str | None, typer.Option(help='Terminal to centre electrode: "5.2 kOhm", or "OL".', metavar="TEXT")
    ] = None,
    continuity: Annotated[
        str | None, typer.Option(help='Ground electrode to shell: "sounds" or a resistance.', metavar="TEXT")
    ] = None,
    insulation: Annotated[
        str | None, typer.Option(help='Centre electrode to shell: "OL" or a resistance.', metavar="TEXT")
    ] = None,
    cleaned: CleanedOption = False,
    ask: AskOption = None,
    store: StoreOption = None,
) -> None:
    """Enter gauge and meter readings of one plug; without any given, be told how to take each and asked."""
    to = console()
    with casebook(store) as book:
        case = book.load(inspection)
        place = plug_of(case, plug)
        meter = (
            (ReadingKind.RESISTANCE, resistance),
            (ReadingKind.CONTINUITY, continuity),
            (ReadingKind.INSULATION, insulation),
        )
        entries = [
            *(
                ReadingEntry(place, ReadingKind.GAUGE, text, n, cleaned)
                for n, text in enumerate(gap or (), 1)
            ),
            *(ReadingEntry(place, kind, text, 1, cleaned) for kind, text in meter if text is not None),
        ]
        if not entries:
            entries = ask_readings(to, case, place, cleaned=cleaned, ask=person_present(ask))
        if not entries:
            raise InputError("reading", "no reading was given", "Give one, like --gap '0.82 mm'.")
        judge_readings(entries, case.spec, case.meter)  # all are readable before the first is saved
        for entry in entries:
            case = book.read(case, entry)
        for judged in readings_of(case).of(place):
            line(to, f"{judged.kind}: {judged.text}: {judged.words}")
            if judged.remedy:
                line(to, judged.remedy, style="yellow", indent=2)
