"""``plugsight history``: one engine's plugs over its inspections."""

from collections.abc import Iterator
from typing import Annotated

import typer

from plugsight.casebook.wear_words import HOW, wear_words
from plugsight.cli.options import StoreOption
from plugsight.cli.screen import console, heading, line, table
from plugsight.cli.session import casebook
from plugsight.cli.show_inspection import decision_words
from plugsight.flow import Inspection, readings_of
from plugsight.readings import ReadingKind
from plugsight.vocabulary.engine import Place


def history(
    engine: Annotated[
        str | None,
        typer.Argument(help="The engine's name; all engines are listed if left out.", metavar="NAME"),
    ] = None,
    store: StoreOption = None,
) -> None:
    """Follow one engine's plugs over its inspections."""
    to = console()
    with casebook(store) as book:
        if engine is None:
            known = book.store.engines()
            table(
                to,
                ("engine", "inspections", "changed"),
                ((e.name, str(e.inspections), e.updated[:10]) for e in known),
            )
            return
        past = book.history(engine)
        if not past:
            line(to, f"No inspection of an engine named '{engine}'. 'plugsight history' lists the names.")
            return
        heading(to, engine)
        places = dict.fromkeys(plug.place for one in past for plug in one.plugs)
        for place in places:
            heading(to, f"Plug {place}")
            table(to, ("date", "odometer km", "decided", "gap by gauge", "inspection"), _rows(past, place))
            line(to, f"Wear: {' '.join(wear_words(past, place))}")
        line(to, HOW, style="dim")


def _rows(past: tuple[Inspection, ...], place: Place) -> Iterator[tuple[str, ...]]:
    for one in past:
        if place not in {plug.place for plug in one.plugs}:
            continue
        odometer = one.context.odometer_km
        gauged = readings_of(one).of(place, ReadingKind.GAUGE)
        yield (
            one.started[:10],
            "" if odometer is None else f"{odometer:.0f}",
            decision_words(one.plug(place)),
            "; ".join(reading.text for reading in gauged),
            one.id,
        )
