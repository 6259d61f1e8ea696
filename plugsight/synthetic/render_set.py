"""Render a whole set into a folder: many worker processes, each recycled, failures recorded, resumable at any time.

Folder: ``recipe.json``, ``truth/NUMBER.json`` (one file a plug: its presence means done), ``failed/NUMBER.txt``,
``images/``, ``masks/``, ``crops/``, ``crop_masks/``. ``gather`` joins the truth into ``truth.jsonl``.
"""

import json
import multiprocessing
import os
import time
import traceback
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from functools import lru_cache, partial
from pathlib import Path
from queue import Empty
from typing import TYPE_CHECKING

from plugsight.spread import spread
from plugsight.synthetic.plug_job import Recipe, run_job
from plugsight.synthetic.plug_scene import PlugScene
from plugsight.synthetic.render_engine import Engine
from plugsight.vocabulary.errors import InputError

if TYPE_CHECKING:
    from multiprocessing.queues import Queue


@dataclass(frozen=True, slots=True)
class Job:
    """One plug of one set."""

    folder: Path
    recipe: Recipe
    number: int


Tell = Callable[[int, int, int], None]
"""Called with plugs done, plugs in all, pictures made."""
RECYCLE_AFTER = 60
"""Plugs a worker makes before it is replaced: Mitsuba's memory creeps."""


def prepare(folder: Path, recipe: Recipe) -> None:
    """Write the recipe, or check that the folder was begun with the same one; ``InputError`` otherwise."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "truth").mkdir(exist_ok=True)
    (folder / "failed").mkdir(exist_ok=True)
    at = folder / "recipe.json"
    text = json.dumps(asdict(recipe), indent=1)
    if at.exists() and json.loads(at.read_text()) != asdict(recipe):
        raise InputError(
            str(folder), "holds renders of another recipe", "choose an empty folder, or the same options"
        )
    at.write_text(text)


def missing(folder: Path, first: int, count: int) -> list[int]:
    """Return the numbers that are neither done nor recorded as failed."""
    return [
        n
        for n in range(first, first + count)
        if not (folder / "truth" / f"{n:06d}.json").exists()
        and not (folder / "failed" / f"{n:06d}.txt").exists()
    ]


def _work(variant: str, tasks: "Queue[Job | None]", done: "Queue[int]") -> None:
    """Worker process: make plugs until the tasks end or it is time to be replaced."""
    scene = PlugScene(Engine(variant, "").start())
    for _ in range(RECYCLE_AFTER):
        job = tasks.get()
        if job is None:
            return
        done.put(_make(scene, job))


def _make(scene: PlugScene, job: Job) -> int:
    """Make one plug's pictures and return how many; a failure is recorded and counts as none."""
    try:
        rows = run_job(scene, job.folder, job.recipe, job.number)
        part = job.folder / "truth" / f"{job.number:06d}.part"
        part.write_text("\n".join(json.dumps(row) for row in rows) + "\n")
        part.rename(part.with_suffix(".json"))
    except Exception:  # noqa: BLE001 - one bad picture must not stop thousands; it is recorded, never replaced
        (job.folder / "failed" / f"{job.number:06d}.txt").write_text(traceback.format_exc())
        return 0
    return len(rows)


@lru_cache(maxsize=1)
def _own_scene(variant: str) -> PlugScene:
    return PlugScene(Engine(variant, "").start())


def _make_elsewhere(job: Job, variant: str) -> int:
    """Make one plug on a cluster's worker, which keeps its scene for the next."""
    return _make(_own_scene(variant), job)


def render_set(
    folder: Path,
    recipe: Recipe,
    count: int,
    variant: str,
    workers: int = 1,
    first: int = 0,
    deadline_s: float = 1e9,
    gpus: int = 0,
    tell: Tell | None = None,
    scheduler: str = "",
) -> int:
    """Render what is missing of ``count`` plugs from number ``first``; return the pictures made now.

    With the address of a Dask ``scheduler`` its workers render; they must see ``folder`` under the same name. Here the
    processes are this file's own, because Mitsuba may end natively and its memory creeps.
    """
    prepare(folder, recipe)
    jobs = [Job(folder.resolve() if scheduler else folder, recipe, n) for n in missing(folder, first, count)]
    if scheduler:
        pictures = 0
        work = partial(_make_elsewhere, variant=variant)
        for done, made in enumerate(spread(work, jobs, scheduler=scheduler), 1):
            pictures += made
            if tell:
                tell(done, len(jobs), pictures)
        return pictures
    return render_jobs(jobs, variant, workers, deadline_s, gpus, tell)


def render_jobs(
    jobs: list[Job],
    variant: str,
    workers: int = 1,
    deadline_s: float = 1e9,
    gpus: int = 0,
    tell: Tell | None = None,
) -> int:
    """Render jobs of prepared sets in order; return the pictures made.

    After ``deadline_s`` seconds the workers are ended; what they had not finished is left for the next call. A worker
    that dies natively costs the plug it was making; another takes its place.
    """
    start = time.monotonic()
    context = multiprocessing.get_context("spawn")
    tasks: Queue[Job | None] = context.Queue()
    done: Queue[int] = context.Queue()
    for job in [*jobs, *[None] * workers]:
        tasks.put(job)
    pool = [_start(context, variant, tasks, done, slot, gpus) for slot in range(min(workers, len(jobs)))]
    finished = pictures = 0
    for made in _results(done, pool, len(jobs)):
        if made >= 0:
            finished, pictures = finished + 1, pictures + made
            if tell:
                tell(finished, len(jobs), pictures)
        if time.monotonic() - start > deadline_s:
            break
        for slot, process in enumerate(pool):
            if not process.is_alive() and finished < len(jobs) and not tasks.empty():
                pool[slot] = _start(context, variant, tasks, done, slot, gpus)
    for process in pool:
        process.join(timeout=0.05)
        if process.is_alive():
            process.terminate()
    tasks.cancel_join_thread()
    return pictures


def _start(
    context: "multiprocessing.context.SpawnContext",
    variant: str,
    tasks: "Queue[Job | None]",
    done: "Queue[int]",
    slot: int,
    gpus: int,
) -> "multiprocessing.context.SpawnProcess":
    if gpus > 1:
        os.environ["CUDA_VISIBLE_DEVICES"] = str(slot % gpus)
    process = context.Process(target=_work, args=(variant, tasks, done), daemon=True)
    process.start()
    return process


def _results(
    done: "Queue[int]", pool: "list[multiprocessing.context.SpawnProcess]", left: int
) -> Iterator[int]:
    """Yield pictures a plug as they come, -1 every second without news, until all are done or no worker lives."""
    idle = 0
    while left > 0:
        try:
            made = done.get(timeout=1.0)
            left -= 1
            idle = 0
        except Empty:
            made = -1
            idle = 0 if any(p.is_alive() for p in pool) else idle + 1
        yield made
        if idle > 5:
            return


def gather(folder: Path) -> int:
    """Join the truth of all finished plugs into ``truth.jsonl``; return its number of pictures."""
    lines = [line for at in sorted((folder / "truth").glob("*.json")) for line in at.read_text().splitlines()]
    (folder / "truth.jsonl").write_text("\n".join(lines) + "\n")
    return len(lines)
