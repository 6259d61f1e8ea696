"""One plug as labelled lines, the same on paper and on screen."""

from dataclasses import dataclass

from plugsight.report.plug_words import bench_lines, condition, decided_by, photo_gap, reading_line
from plugsight.report.record import PlugRow
from plugsight.report.sources import Sources


@dataclass(frozen=True, slots=True)
class PlugLine:
    """A label and its text; ``strong`` for the line people look for."""

    label: str
    text: str
    strong: bool = False


def plug_lines(row: PlugRow, sources: Sources) -> tuple[PlugLine, ...]:
    """Return what was seen, decided, read and concluded; what is empty is left out."""
    decided, verdict = row.confirmation, row.verdict
    readings = [PlugLine(name, text) for name, text in map(reading_line, row.readings)]
    because = "\n".join(f"{why.words} {sources.mark(why.source)}".strip() for why in verdict.reasons)
    # of several photos each note names its own: what one lacks another may have shown
    several = len(row.pictures) > 1
    notes = dict.fromkeys(
        f"{picture.caption}: {note}" if several else note
        for picture in row.pictures
        for note in picture.notes
    )
    lines = (
        PlugLine("condition", condition(decided), strong=True),
        PlugLine("confirmed by", decided_by(decided)),
        PlugLine("note", decided.note),
        PlugLine("gap on photo", photo_gap(row)),
        *(readings or [PlugLine("readings", "none taken")]),
        PlugLine("at the bench", "; ".join(bench_lines(decided))),
        PlugLine("because", because),
        PlugLine("still to look at", " ".join(_closed(item) for item in verdict.look_at)),
        PlugLine("gap to set", verdict.gap_words),
        PlugLine("about the photos", "\n".join(notes)),
    )
    return tuple(line for line in lines if line.text)


def _closed(item: str) -> str:
    return item if item.endswith(("?", ".", "!")) else f"{item};"
