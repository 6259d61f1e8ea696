"""One photo's line of results."""

import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plugsight.features import Features, Length
from plugsight.flow import look, look_at
from plugsight.photo import photo_file
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.refusal import Abstention


@dataclass(frozen=True, slots=True)
class PhotoLine:
    """What one photo gave. Lengths in mm, ``None`` where nothing was measured or suggested.

    ``refused`` says why there is no measurement, suggestion or picture at all, with the remedy; ``unreadable`` is true for
    the last. ``suggested`` is the set, most likely first, ``chances`` belong to it. ``cpu_s`` is the processor time of this
    photo, ``memory_mb`` the most that its process ever held (0 where the system doesn't say).
    """

    path: str
    digest: str = ""
    view: str = ""
    gap_mm: float | None = None
    gap_U_mm: float | None = None
    gap_said: str = ""
    tilt_deg: float | None = None
    px_per_mm: float | None = None
    suggested: tuple[str, ...] = ()
    chances: tuple[float, ...] = ()
    damage: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    refused: str = ""
    unreadable: bool = False
    model: str = ""
    cpu_s: float = 0.0
    memory_mb: float = 0.0


def read_line(path: Path, spec: PlugSpec) -> PhotoLine:
    """Look at one photo file; what is wrong with it is said in its line, never raised."""
    start = time.process_time()
    made: dict[str, Any]
    try:
        made = _look(path, spec)
    except InputError as problem:
        made = {"refused": str(problem), "unreadable": True}
    return PhotoLine(
        path=str(path),
        **made,
        cpu_s=round(time.process_time() - start, 3),
        memory_mb=_memory_mb(),
    )


def _look(path: Path, spec: PlugSpec) -> dict[str, Any]:
    seen = look_at(path.name, photo_file(path), spec)
    found, suggestion = seen.features, look([seen]).suggestion
    made: dict[str, Any] = {"digest": seen.digest}
    if isinstance(suggestion, Abstention):
        made["refused"] = f"{suggestion.reason}. {suggestion.remedy}"
    else:
        chance = {str(c.deposit): c.chance for c in suggestion.chances}
        made |= {
            "suggested": tuple(map(str, suggestion.members)),
            "chances": tuple(round(chance[str(d)], 4) for d in suggestion.members),
            "damage": tuple(str(d.damage) for d in suggestion.damage),
            "model": suggestion.model_digest,
        }
    if isinstance(found, Features):
        gap = found.gap
        made |= {
            "view": str(found.kind),
            "gap_mm": round(gap.mm, 4) if isinstance(gap, Length) else None,
            "gap_U_mm": round(gap.U_mm, 4) if isinstance(gap, Length) else None,
            "gap_said": str(found.gap_warning) if isinstance(gap, Length) else gap.reason,
            "tilt_deg": round(found.tilt_deg, 2),
            "px_per_mm": None if found.px_per_mm is None else round(found.px_per_mm, 2),
            "notes": tuple(note.words for note in found.notes),
        }
    return made


def _memory_mb() -> float:
    try:
        import resource  # noqa: PLC0415 - Windows has no such module
    except ImportError:
        return 0.0
    return round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1)
