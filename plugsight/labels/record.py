"""The labelled set: what people confirmed, in a form that anybody may read.

``FORMAT`` numbers the set's layout (``set.json``, ``parts.coco.json``, ``images/``). Raise it when a field is removed,
renamed or changes its meaning, and keep ``read_set`` reading the older ones; a new optional field needs no new number.
"""

from dataclasses import dataclass
from enum import StrEnum

FORMAT = 1


class Grade(StrEnum):
    """How far a label can be trusted, lowest first."""

    EYE = "eye"
    BENCH = "bench-tested"
    PROVEN = "proven by the outcome"


@dataclass(frozen=True, slots=True)
class LabelledPhoto:
    """One photo of a labelled plug. ``digest`` is the SHA-256 of the image file in the set.

    ``kind`` is the view kind or empty where nothing was measured; ``values`` follow ``LabelledSet.feature_names``,
    None where not measured.
    """

    file: str
    digest: str
    kind: str
    cleaned: bool
    values: tuple[float | None, ...] = ()


@dataclass(frozen=True, slots=True)
class LabelledPlug:
    """One plug as a person confirmed it.

    ``plug`` and ``engine`` are hashes: they tell plugs and engines apart and name neither. ``blind`` True: decided
    before any suggestion was shown. ``decided`` is a date without time. ``proven_causes`` are ids of the causes data.
    """

    plug: str
    engine: str
    cylinder: int
    position: str
    deposits: tuple[str, ...]
    damage: tuple[str, ...]
    absent: tuple[str, ...]
    damage_absent: tuple[str, ...]
    grade: Grade
    blind: bool
    suggested: tuple[str, ...]
    model_digest: str
    decided: str
    photos: tuple[LabelledPhoto, ...]
    proven_causes: tuple[str, ...] = ()
    complaint_gone: bool | None = None
    finding_gone: bool | None = None


@dataclass(frozen=True, slots=True)
class LabelledSet:
    """A whole set. ``catalogue`` is the digest of the feature catalogue that ``feature_names`` belong to."""

    format: int
    made: str
    made_by: str
    licence: str
    consent: str
    catalogue: str
    feature_names: tuple[str, ...]
    invented: bool
    plugs: tuple[LabelledPlug, ...]
