"""Checks room: which check tells most per minute of bench time."""

from plugsight.checks.choose import choose_checks
from plugsight.checks.known import KnownCheck, KnownOutcome, known_checks
from plugsight.checks.record import NextCheck, NextChecks, OutcomeMeaning

__all__ = [
    "KnownCheck",
    "KnownOutcome",
    "NextCheck",
    "NextChecks",
    "OutcomeMeaning",
    "choose_checks",
    "known_checks",
]
