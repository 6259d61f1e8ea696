"""The record that leaves the checks room."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OutcomeMeaning:
    """One outcome a check can have and what it would mean for the causes still standing."""

    id: str
    words: str
    meaning: str


@dataclass(frozen=True, slots=True)
class NextCheck:
    """One check worth doing. ``bits_per_minute`` is the expected drop in entropy per minute of bench time."""

    id: str
    name: str
    cylinder: int | None
    minutes: float
    tools: str
    skill: str
    how: str
    outcomes: tuple[OutcomeMeaning, ...]
    cautions: tuple[str, ...]
    bits: float
    bits_per_minute: float
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class NextChecks:
    """Checks most telling per minute first; empty with ``stop`` saying why when none is worth its time."""

    items: tuple[NextCheck, ...]
    stop: str = ""
