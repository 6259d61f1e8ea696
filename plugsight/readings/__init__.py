"""Readings room: what gauge and meter showed in, guard-banded judgements out."""

from plugsight.readings.judge import judge_readings
from plugsight.readings.record import Judgement, Reading, ReadingEntry, ReadingKind, Readings

__all__ = ["Judgement", "Reading", "ReadingEntry", "ReadingKind", "Readings", "judge_readings"]
