"""One plug as labelled lines, the same on paper and on screen."""

from collections.abc import Sequence
from dataclasses import dataclass

from plugsight.report.plug_words import bench_lines, condition, decided_by, photo_gap, reading_line
from plugsight.report.record import PlugPicture, PlugRow
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
    notes = _notes(row.pictures)
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


def _notes(pictures: Sequence[PlugPicture]) -> tuple[str, ...]:
    """Return what was noted on the photos; of several, each note names its own.

    Why one photo gave no gap is left out where another gave it.
    """
    gauged = any(picture.gap_mm is not None for picture in pictures)
    kept = (
        f"{picture.caption}: {note}" if len(pictures) > 1 else note
        for picture in pictures
        for note in picture.notes
        if not (gauged and picture.gap_mm is None and note.partition(":")[0] in picture.gap_words)
    )
    return tuple(dict.fromkeys(kept))


def _closed(item: str) -> str:
    return item if item.endswith(("?", ".", "!")) else f"{item};"
