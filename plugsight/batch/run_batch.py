"""Photos to a file of lines that can be stopped at any moment and taken up again."""

import json
import time
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from functools import partial
from pathlib import Path
from typing import IO

from plugsight.batch.photo_line import PhotoLine, read_line
from plugsight.spread import spread
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.errors import InputError


@dataclass(frozen=True, slots=True)
class BatchCount:
    """What a run did: lines already there, photos looked at now, how many of those were refused and unreadable.

    ``wall_s`` of this run, ``cpu_s`` of all its photos, ``memory_mb`` the most that one worker held.
    """

    before: int
    done: int
    refused: int
    unreadable: int
    wall_s: float
    cpu_s: float
    memory_mb: float


def run_batch(
    photos: Sequence[Path],
    to: Path,
    spec: PlugSpec,
    *,
    workers: int = 1,
    scheduler: str = "",
    tell: Callable[[int, PhotoLine], None] = lambda *_: None,
) -> BatchCount:
    """Append one JSON line a photo to ``to`` (JSON Lines, UTF-8), in the order of ``photos``.

    Photos that have a line in ``to`` are passed over; a last line that was cut short is made again. So a run that was
    stopped, killed or lost its workers goes on by the same call, and no photo stands there twice. ``tell`` hears how many
    lines there are and the newest.

    Raises
    ------
    InputError
        Where ``to`` can't be written, is no file of such lines, or is being written by another run.

    """
    start = time.monotonic()
    there: frozenset[str] = frozenset()
    made: list[tuple[bool, bool, float, float]] = []
    try:
        # a file name that is no text becomes an escape of JSON, and is known again
        with to.open("a", encoding="utf-8", errors="backslashreplace") as out:
            _hold(out, to)
            there = _lines_there(to)
            todo = [photo for photo in photos if str(photo) not in there]
            for line in spread(partial(read_line, spec=spec), todo, workers=workers, scheduler=scheduler):
                out.write(json.dumps(asdict(line), ensure_ascii=False) + "\n")
                out.flush()
                made.append((bool(line.refused), line.unreadable, line.cpu_s, line.memory_mb))
                tell(len(there) + len(made), line)
    except OSError as problem:
        raise InputError(str(to), f"can't be written ({problem.strerror})", "Name another file.") from problem
    return BatchCount(
        before=len(there),
        done=len(made),
        refused=sum(one[0] for one in made),
        unreadable=sum(one[1] for one in made),
        wall_s=time.monotonic() - start,
        cpu_s=sum(one[2] for one in made),
        memory_mb=max((one[3] for one in made), default=0.0),
    )


def _hold(out: IO[str], to: Path) -> None:
    """Keep the file for this run until it is closed: two runs would each do what the other has not written yet."""
    try:
        import fcntl  # noqa: PLC0415 - Windows has no such module
    except ImportError:
        return
    try:
        fcntl.flock(out, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError as held:
        raise InputError(
            str(to), "another run is writing it", "Wait for that one, or name another file."
        ) from held


def _lines_there(to: Path) -> frozenset[str]:
    """Paths that have a whole line; what follows the last line end is cut off the file."""
    with to.open("rb+") as file:
        data = file.read()
        whole = data[: data.rfind(b"\n") + 1]
        try:
            paths = frozenset(json.loads(line)["path"] for line in whole.splitlines())
        except (ValueError, TypeError, KeyError) as problem:
            raise InputError(
                str(to), "is no file of result lines", "Name a new file; this one is left as it is."
            ) from problem
        if data and not whole:
            raise InputError(
                str(to), "is no file of result lines", "Name a new file; this one is left as it is."
            )
        file.truncate(len(whole))
    return paths
