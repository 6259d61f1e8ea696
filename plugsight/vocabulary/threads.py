"""Thread sizes of spark plugs: major diameter and pitch in mm.

Metric sizes: ISO 261; 7/8-18 in from 25.4 mm per inch. Profile formulas (ISO 68-1) live where they are used.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Thread:
    """Nominal external thread: ``diameter_mm`` and ``pitch_mm``."""

    name: str
    diameter_mm: float
    pitch_mm: float


THREADS: Mapping[str, Thread] = MappingProxyType(
    {
        t.name: t
        for t in (
            Thread("M8x1.0", 8.0, 1.0),
            Thread("M10x1.0", 10.0, 1.0),
            Thread("M12x1.25", 12.0, 1.25),
            Thread("M14x1.25", 14.0, 1.25),
            Thread("M18x1.5", 18.0, 1.5),
            Thread("7/8-18", 22.225, 25.4 / 18),
        )
    }
)
