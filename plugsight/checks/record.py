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
    """One check worth doing.

    ``bits`` is the expected drop in entropy, summed over all causes; ``bits_per_minute`` the same per minute of bench
    time. ``cylinder`` and ``bank`` (from 1) say where; both None: the engine.
    """

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
    bank: int | None = None
    intrusive: int = 0
    """0 look, 1 unplug, 2 take parts off, 3 open the engine."""


@dataclass(frozen=True, slots=True)
class NextChecks:
    """Checks most telling per minute first; empty with ``stop`` saying why when none is worth its time.

    ``remarks``: what was left out, and why (an engine that must not be run or cranked yet).
    """

    items: tuple[NextCheck, ...]
    stop: str = ""
    remarks: tuple[str, ...] = ()
