"""Bench tests and looks that a photograph cannot replace: the question, and the answers it can have."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType


class BenchQuestion(StrEnum):
    """One thing a person does or looks at on a single plug."""

    WIPE = "wipe"
    SMELL = "smell"
    SCRATCH = "scratch"
    LENS = "lens"
    THREAD = "thread"
    SEAT = "seat"
    TERMINAL = "terminal"
    OUTER_INSULATOR = "outer insulator"
    DROPPED = "dropped"
    GAP_CLOSED_BY = "gap closed by"
    LIQUID = "liquid in cylinder"
    CAME_OUT = "came out"
    WELL = "well"
    GASKET = "gasket"
    CLEANED_BEFORE_PHOTO = "cleaned before photo"
    ELECTRODE_SQUARE = "electrode square"
    METAL_BLUED = "metal blued"
    NOSE_CLEANER = "nose cleaner than the others"


@dataclass(frozen=True, slots=True)
class BenchWords:
    """How to do it, and the answers it can have; ``can't tell`` is always allowed besides."""

    how: str
    answers: tuple[str, ...]


CANT_TELL = "can't tell"

BENCH: Mapping[BenchQuestion, BenchWords] = MappingProxyType(
    {
        BenchQuestion.WIPE: BenchWords(
            "wipe the nose with white paper (after the photo)",
            ("dry soot", "oily smear", "fuel, dries and smells", "crust stays", "comes off clean"),
        ),
        BenchQuestion.SMELL: BenchWords(
            "smell the tip at once after removal", ("nothing", "fuel", "oil", "sweet")
        ),
        BenchQuestion.SCRATCH: BenchWords(
            "scratch the nose lightly with a wooden pick", ("crumbles", "holds", "gummy")
        ),
        BenchQuestion.LENS: BenchWords(
            "look at the nose all round with a 10x lens", ("no crack", "crack or chip", "blisters")
        ),
        BenchQuestion.THREAD: BenchWords("look at the thread", ("sound", "damaged")),
        BenchQuestion.SEAT: BenchWords("look at gasket or taper seat", ("sound", "damaged")),
        BenchQuestion.TERMINAL: BenchWords("look at the terminal", ("sound", "damaged")),
        BenchQuestion.OUTER_INSULATOR: BenchWords(
            "look at the outer insulator", ("sound", "flashover track", "cracked")
        ),
        BenchQuestion.DROPPED: BenchWords("was this plug dropped?", ("no", "yes")),
        BenchQuestion.GAP_CLOSED_BY: BenchWords(
            "what closed the gap or bent the strap?", ("a fall", "the piston", "not closed")
        ),
        BenchQuestion.LIQUID: BenchWords(
            "is liquid standing in the cylinder?", ("none", "fuel", "oil", "coolant or water")
        ),
        BenchQuestion.CAME_OUT: BenchWords(
            "how did the plug come out?", ("normal", "loose", "hard", "stuck")
        ),
        BenchQuestion.WELL: BenchWords("what was in the plug's well?", ("dry", "oil", "water", "dirt")),
        BenchQuestion.GASKET: BenchWords(
            "the gasket", ("one, seated", "missing", "doubled", "taper seat, none")
        ),
        BenchQuestion.CLEANED_BEFORE_PHOTO: BenchWords(
            "was the plug wiped or cleaned before this photo?", ("no", "yes")
        ),
        BenchQuestion.ELECTRODE_SQUARE: BenchWords(
            "is the centre electrode's edge still square?", ("yes", "rounded")
        ),
        BenchQuestion.METAL_BLUED: BenchWords("is the metal of the tip blued?", ("no", "yes")),
        BenchQuestion.NOSE_CLEANER: BenchWords(
            "is this nose washed far cleaner than its neighbours?", ("no", "yes")
        ),
    }
)


@dataclass(frozen=True, slots=True)
class BenchFinding:
    """One answered question; ``answer`` is one of ``BENCH[question].answers`` or ``CANT_TELL``."""

    question: BenchQuestion
    answer: str
