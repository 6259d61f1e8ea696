"""The record that leaves the readings room: what gauge and meter said, and what may be concluded."""

from dataclasses import dataclass
from enum import StrEnum

from plugsight.vocabulary.engine import Place


class Judgement(StrEnum):
    """What one reading allows to say. Only ``OUT``, ``OPEN`` and ``LEAK`` after cleaning fail a plug."""

    IN = "in"
    OUT = "out"
    CANT_TELL_METER = "can't tell with this meter"
    USUAL = "usual for a resistor plug, no limit given"
    UNUSUAL = "unusual: look up the plug's figure"
    OPEN = "open"
    SOUNDS = "sounds"
    NO_SOUND = "does not sound"
    NO_LEAK_SEEN = "no leak seen"
    LEAK = "leak"
    NO_SPEC = "no figure to judge by"


class ReadingKind(StrEnum):
    """The four readings, in the order of the bench."""

    GAUGE = "gap by wire gauge"
    RESISTANCE = "resistance, terminal to centre electrode"
    CONTINUITY = "continuity, ground electrode to shell"
    INSULATION = "insulation, centre electrode to shell"


@dataclass(frozen=True, slots=True)
class ReadingEntry:
    """One reading as written by a person. ``after_cleaning``: repeated after cleaning the plug."""

    place: Place
    kind: ReadingKind
    text: str
    electrode: int = 1
    """Which ground electrode, counted from 1 (gauge only)."""
    after_cleaning: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """One judged reading. ``value`` in mm or ohm; None when over range (``OL``) or for continuity by sound.

    ``u`` is the standard uncertainty in the unit of ``value``. ``words`` says it to a person, ``remedy`` what to do
    next (empty when nothing). ``final`` True: the reading stands after cleaning, or needs no repeat.
    """

    place: Place
    kind: ReadingKind
    text: str
    value: float | None
    over: float | None
    """Range maximum that an over-range display exceeded, ohm."""
    u: float | None
    judgement: Judgement
    words: str
    remedy: str
    final: bool
    electrode: int = 1
    after_cleaning: bool = False


@dataclass(frozen=True, slots=True)
class Readings:
    """All readings of an engine's plugs, latest last."""

    items: tuple[Reading, ...]

    def of(self, place: Place, kind: ReadingKind | None = None) -> tuple[Reading, ...]:
        """Readings of one plug (and one kind), in the order they were taken."""
        return tuple(r for r in self.items if r.place == place and kind in (None, r.kind))
