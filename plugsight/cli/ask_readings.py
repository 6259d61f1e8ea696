"""Tell a person at the terminal how to take each reading, the meter's range included, and ask for it."""

import typer
from rich.console import Console

from plugsight.cli.screen import heading, line
from plugsight.flow import Inspection
from plugsight.readings import READING_STEPS, ReadingEntry, ReadingKind, judge_readings, range_words
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.errors import InputError


def ask_readings(
    to: Console, inspection: Inspection, place: Place, *, cleaned: bool, ask: bool
) -> list[ReadingEntry]:
    """Print the steps of each reading, in bench order; with ``ask``, wait for each. Enter alone leaves one out."""
    entries: list[ReadingEntry] = []
    for kind in ReadingKind:
        steps = READING_STEPS[kind]
        heading(to, f"Plug {place}: {steps.title}")
        for step in (*steps.steps, range_words(kind, inspection.spec, inspection.meter)):
            if step:
                line(to, f"- {step}")
        number = 1
        while ask:
            text = typer.prompt(
                f"Reading, like {steps.write}; Enter for none", default="", show_default=False
            ).strip()
            if not text:
                break
            entry = ReadingEntry(place, kind, text, number, cleaned)
            try:
                judge_readings([entry], inspection.spec, inspection.meter)
            except InputError as problem:
                typer.echo(str(problem))
                continue
            entries.append(entry)
            number += 1
            if number > (inspection.spec.ground_electrodes if kind is ReadingKind.GAUGE else 1):
                break
    return entries
