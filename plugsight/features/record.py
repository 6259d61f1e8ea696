"""The record that leaves the features room."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from plugsight.view.record import ViewKind
from plugsight.vocabulary.quality import QualityNote
from plugsight.vocabulary.refusal import NotMeasured


@dataclass(frozen=True, slots=True)
class BudgetLine:
    """One source of uncertainty: its name and its contribution to the standard uncertainty, mm."""

    source: str
    u_mm: float


@dataclass(frozen=True, slots=True)
class Length:
    """A length by GUM (JCGM 100): ``mm`` with standard ``u_mm`` and expanded ``U_mm`` (95 %)."""

    mm: float
    u_mm: float
    U_mm: float
    budget: tuple[BudgetLine, ...] = ()


class GapWarning(StrEnum):
    """What a photo may say of a gap; a wire gauge decides.

    Only "wide" is said surely: clear space is seen, but what looks closed may be soot, a lump or a dark electrode.
    """

    CLEARLY_WIDE = "clearly wide"
    LOOKS_CLOSED = "looks closed: gauge it"
    IN_SPEC = "in"
    NEAR_SPEC = "looks near spec: gauge it"
    NO_SPEC = "no figure to judge by"


@dataclass(frozen=True, slots=True)
class FeatureValue:
    """One catalogue entry measured on one view; ``value`` is NaN where it could not be measured."""

    name: str
    value: float


@dataclass(frozen=True, slots=True, eq=False)
class Features:
    """Everything measured on one view of one plug.

    ``values`` follow the catalogue's order and ``catalogue`` is its digest. ``gap_line`` holds the two ends of the
    measured gap as view ``(col, row)``. ``canonical`` and ``overlay`` are ``(rows, cols, 3)`` uint8 sRGB pictures.
    ``nose_lab`` is the median CIE Lab (D65) of the nose without highlights, or None.
    """

    photo_digest: str
    kind: ViewKind
    catalogue: str
    values: tuple[FeatureValue, ...]
    gap: Length | NotMeasured
    gap_warning: GapWarning
    gap_line: tuple[tuple[float, float], tuple[float, float]] | None
    edge_radius: Length | NotMeasured
    nose_projection: Length | NotMeasured
    tilt_deg: float
    px_per_mm: float | None
    nose_lab: tuple[float, float, float] | None
    canonical: NDArray[np.uint8]
    overlay: NDArray[np.uint8]
    notes: tuple[QualityNote, ...] = ()

    def value(self, name: str) -> float:
        """Return one value by its catalogue name (NaN where not measured); ``KeyError`` for an unknown name."""
        for entry in self.values:
            if entry.name == name:
                return entry.value
        raise KeyError(name)
