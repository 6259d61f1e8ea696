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
from dataclasses import asdict
from multiprocessing.queues import Queue
from pathlib import Path

from plugsight.synthetic.plug_job import Recipe
from plugsight.vocabulary.errors import InputError

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
        raise InputError(str(folder), "holds renders of another recipe", "choose an empty folder, or the same options")
    at.write_text(text)


def missing(folder: Path, first: int, count: int) -> list[int]:
    """Return the numbers that are neither done nor recorded as failed."""
    return [
        n
        for n in range(first, first + count)
        if not (folder / "truth" / f"{n:06d}.json").exists() and not (folder / "failed" / f"{n:06d}.txt").exists()
    ]


def _work(folder: Path, recipe: Recipe, variant: str, tasks: "Queue[int | None]", done: "Queue[tuple[int, int]]") -> None:
    """Worker process: make plugs until the tasks end or it is time to be replaced."""
    from plugsight.synthetic.plug_job import run_job
    from plugsight.synthetic.plug_scene import PlugScene
    from plugsight.synthetic.render_engine import Engine

    scene = PlugScene(Engine(variant, "").start())
    for _ in range(RECYCLE_AFTER):
        number = tasks.get()
        if number is None:
            return
        try:
            rows = run_job(scene, folder, recipe, number)
            part = folder / "truth" / f"{number:06d}.part"
            part.write_text("\n".join(json.dumps(row) for row in rows) + "\n")
            part.rename(part.with_suffix(".json"))
            done.put((number, len(rows)))
        except Exception:  # noqa: BLE001 - one bad picture must not stop thousands; it is recorded, never replaced
            (folder / "failed" / f"{number:06d}.txt").write_text(traceback.format_exc())
            done.put((number, 0))


def render_set(
    folder: Path,
    recipe: Recipe,
    count: int,
    variant: str,
    workers: int = 1,
    first: int = 0,
    deadline_s: float = 1e9,
    gpus: int = 0,
    tell: Callable[[int, int, int], None] = lambda done, total, pictures: None,
) -> int:
    """Render what is missing of ``count`` plugs; return the pictures made now.

    Stops starting plugs after ``deadline_s`` seconds. A worker that dies natively costs the plug it was making, which
    is recorded as failed.
    """
    prepare(folder, recipe)
    todo = missing(folder, first, count)
    start = time.monotonic()
    context = multiprocessing.get_context("spawn")
    tasks: Queue[int | None] = context.Queue()
    done: Queue[tuple[int, int]] = context.Queue()
    for number in todo:
        tasks.put(number)
    for _ in range(workers):
        tasks.put(None)
    pool = [_start(context, folder, recipe, variant, tasks, done, slot, gpus) for slot in range(min(workers, len(todo)))]
    finished = pictures = 0
    for number, made in _results(done, pool, todo):
        if number >= 0:
            finished, pictures = finished + 1, pictures + made
            tell(finished, len(todo), pictures)
        late = time.monotonic() - start > deadline_s
        for slot, process in enumerate(pool):
            if not process.is_alive() and finished < len(todo) and not late and not tasks.empty():
                pool[slot] = _start(context, folder, recipe, variant, tasks, done, slot, gpus)
        if late:
            break
    for process in pool:
        process.join(timeout=0.1 if time.monotonic() - start > deadline_s else 20)
        if process.is_alive():
            process.terminate()
    tasks.cancel_join_thread()
    return pictures


def _start(
    context: "multiprocessing.context.SpawnContext",
    folder: Path,
    recipe: Recipe,
    variant: str,
    tasks: "Queue[int | None]",
    done: "Queue[tuple[int, int]]",
    slot: int,
    gpus: int,
) -> "multiprocessing.context.SpawnProcess":
    if gpus > 1:
        os.environ["CUDA_VISIBLE_DEVICES"] = str(slot % gpus)
    process = context.Process(target=_work, args=(folder, recipe, variant, tasks, done), daemon=True)
    process.start()
    return process


def _results(
    done: "Queue[tuple[int, int]]", pool: "list[multiprocessing.context.SpawnProcess]", todo: list[int]
) -> Iterator[tuple[int, int]]:
    """Yield (number, pictures) as they come, (-1, 0) every second without news, until all are done or no worker lives."""
    from queue import Empty

    left = len(todo)
    idle = 0
    while left > 0:
        try:
            yield done.get(timeout=1.0)
            left -= 1
            idle = 0
        except Empty:
            yield -1, 0
            idle = idle + 1 if not any(p.is_alive() for p in pool) else 0
            if idle > 5:
                return


def gather(folder: Path) -> int:
    """Join the truth of all finished plugs into ``truth.jsonl``; return its number of pictures."""
    lines = [line for at in sorted((folder / "truth").glob("*.json")) for line in at.read_text().splitlines()]
    (folder / "truth.jsonl").write_text("\n".join(lines) + "\n")
    return len(lines)
