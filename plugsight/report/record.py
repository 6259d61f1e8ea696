"""The record that leaves the report room: one model for PDF, HTML and JSON."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.causes.record import Causes
from plugsight.checks.record import NextChecks
from plugsight.confirmation.record import Confirmation
from plugsight.readings.record import Reading
from plugsight.verdict.record import PlugVerdict
from plugsight.vocabulary.engine import Context, EngineFacts, Place, PlugSpec
from plugsight.vocabulary.outcomes import CheckOutcome, RepairOutcome

REPORT_FORMAT = 1
"""Number of the JSON layout. Raise it by one whenever a field is removed, renamed or changes its meaning, and keep
reading the older ones; adding a field needs no new number."""


@dataclass(frozen=True, slots=True, eq=False)
class PlugPicture:
    """One photo of a plug as shown in the report; pictures ``(rows, cols, 3)`` uint8 sRGB.

    ``gap_words`` is what was measured on it ("0.82 ± 0.06 mm") or why not.
    """

    caption: str
    photo_digest: str
    picture: NDArray[np.uint8] | None
    overlay: NDArray[np.uint8] | None
    gap_mm: float | None
    gap_U_mm: float | None
    gap_words: str
    notes: tuple[str, ...] = ()
    nose_lab: tuple[float, float, float] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class PlugRow:
    """One plug: what was seen, decided, read and concluded."""

    place: Place
    pictures: tuple[PlugPicture, ...]
    confirmation: Confirmation
    readings: tuple[Reading, ...]
    verdict: PlugVerdict


@dataclass(frozen=True, slots=True)
class Shop:
    """Who hands the report over; ``logo_png`` is the bytes of a PNG or None."""

    name: str = ""
    contact: str = ""
    logo_png: bytes | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Report:
    """Everything a report shows. ``invented`` True marks demo data on every page."""

    inspection: str
    made: str
    """ISO 8601 with offset."""
    version: str
    model_digest: str
    engine: EngineFacts
    spec: PlugSpec
    context: Context
    who: str
    plugs: tuple[PlugRow, ...]
    causes: Causes
    checks: NextChecks
    checks_done: tuple[CheckOutcome, ...]
    repair: RepairOutcome | None
    cautions: tuple[str, ...]
    honesty: str
    invented: bool = False
    shop: Shop = Shop()
    previous: tuple[str, ...] = ()
    """Sentences about the last inspection of this engine, for the reader."""
