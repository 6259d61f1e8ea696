"""One plug as labelled lines, the same on paper and on screen."""

from dataclasses import dataclass

from plugsight.report.plug_words import bench_lines, condition, decided_by, photo_gap, reading_line
from plugsight.report.record import PlugRow


@dataclass(frozen=True, slots=True)
class PlugLine:
    """A label and its text; ``strong`` for the line people look for."""

    label: str
    text: str
    strong: bool = False


def plug_lines(row: PlugRow) -> tuple[PlugLine, ...]:
    """Return what was seen, decided, read and concluded; what is empty is left out."""
    decided, verdict = row.confirmation, row.verdict
    readings = [PlugLine(name, f"{text}: {judged}") for name, text, judged in map(reading_line, row.readings)]
    because = "; ".join(f"{why.words} ({why.source})" for why in verdict.reasons)
    notes = dict.fromkeys(note for picture in row.pictures for note in picture.notes)
    lines = (
        PlugLine("condition", condition(decided), strong=True),
        PlugLine("confirmed by", decided_by(decided)),
        PlugLine("note", decided.note),
        PlugLine("gap on photo", photo_gap(row)),
        *(readings or [PlugLine("readings", "none taken")]),
        PlugLine("at the bench", "; ".join(bench_lines(decided))),
        PlugLine("because", because),
        PlugLine("still to look at", "; ".join(verdict.look_at)),
        PlugLine("gap to set", verdict.gap_words),
        PlugLine("about the photos", "; ".join(notes)),
    )
    return tuple(line for line in lines if line.text)
