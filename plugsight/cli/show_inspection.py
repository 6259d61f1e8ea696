"""Where an inspection stands: what was seen, decided and read at each plug, and what is missing."""

from rich.console import Console

from plugsight.cli.screen import heading, line, table
from plugsight.cli.show_look import gap_words
from plugsight.features import Features
from plugsight.flow import Inspection, PlugCase, readings_of, undecided
from plugsight.readings import Judgement, Readings

_SHORT = {
    Judgement.USUAL: "usual",
    Judgement.UNUSUAL: "unusual",
    Judgement.CANT_TELL_METER: "can't tell",
    Judgement.NO_SPEC: "no figure",
    Judgement.SOUNDS: "good",
}
"""Words short enough for a table; the report has them in full."""


def show_inspection(to: Console, inspection: Inspection) -> None:
    """Print one inspection in a table, one row per plug."""
    heading(to, f"{inspection.engine.name} (inspection {inspection.id})")
    if inspection.invented:
        line(to, "Invented example: no real engine.", style="yellow")
    readings = readings_of(inspection)
    table(
        to,
        ("plug", "photos", "decided", "gap in the photo", "readings"),
        (_row(case, readings) for case in inspection.plugs),
    )
    missing = undecided(inspection)
    if missing:
        line(to, f"Not decided yet: plug {', '.join(map(str, missing))}.", style="yellow")


def decision_words(case: PlugCase) -> str:
    """Say what a person decided, or that nobody has."""
    last = case.confirmation
    if last is None:
        return "not decided"
    seen = ", ".join((*last.deposits, *last.damage)) or "can't tell"
    return f"{seen} ({last.who})"


def _row(case: PlugCase, readings: Readings) -> tuple[str, ...]:
    gaps = [gap_words(p.features) for p in case.photos if isinstance(p.features, Features)]
    measured = [words for words in gaps if not words.startswith("not measured")]
    read = "\n".join(f"{r.text}: {_SHORT.get(r.judgement, r.judgement)}" for r in readings.of(case.place))
    return (
        str(case.place),
        str(len(case.photos)),
        decision_words(case),
        measured[0] if measured else "not measured",
        read or "none",
    )
