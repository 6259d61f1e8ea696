"""Outcomes: of a check at the bench, and of the repair afterwards."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CheckOutcome:
    """A check that was done. ``check`` and ``outcome`` are ids of the checks' data; ``cylinder`` None = engine."""

    check: str
    outcome: str
    cylinder: int | None = None
    bank: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class RepairOutcome:
    """What was repaired and whether it helped. ``None`` = not known yet."""

    repaired: str
    causes: tuple[str, ...] = ()
    """Ids of the causes that the repair proved."""
    complaint_gone: bool | None = None
    finding_gone: bool | None = None
    odometer_km: float | None = None
    who: str = ""
    when: str = ""
