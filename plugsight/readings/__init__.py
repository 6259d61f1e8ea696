"""Readings room: what gauge and meter showed in, guard-banded judgements out."""

from plugsight.readings.gap_text import GAP_LIMITS_MM, parse_gap_mm, parse_gap_spec
from plugsight.readings.judge import judge_readings
from plugsight.readings.meter import check_meter, range_to_set
from plugsight.readings.ohm_text import OverRange, parse_ohm
from plugsight.readings.record import Judgement, Reading, ReadingEntry, ReadingKind, Readings
from plugsight.readings.spec import check_spec
from plugsight.readings.steps import READING_STEPS, ReadingSteps, range_words

__all__ = [
    "GAP_LIMITS_MM",
    "READING_STEPS",
    "Judgement",
    "OverRange",
    "Reading",
    "ReadingEntry",
    "ReadingKind",
    "ReadingSteps",
    "Readings",
    "check_meter",
    "check_spec",
    "judge_readings",
    "parse_gap_mm",
    "parse_gap_spec",
    "parse_ohm",
    "range_to_set",
    "range_words",
]
