"""A store with very many inspections, and with many users at once: ``python tests/scale/stores.py``.

    --url     a database; a SQLite file in a temporary folder by default. It must be empty.
    --postgres  start a PostgreSQL server of its own for this and stop it again
    --keep    inspections in the store when lists and history are asked for (100000)
    --users   people working at once (20), who write --made inspections between them (2000)

Goals: every list and history under 200 ms; no update lost.
"""

import argparse
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from pathlib import Path

from server import postgres
from sqlalchemy import insert

from plugsight.store import Conflict, Store
from plugsight.store import tables as t
from plugsight.store.connection import writing

PLUGS, TIMES, GOAL_MS = 4, 21, 200
BATCH = 5000
FIRST = 1000
"""Engines get numbers from here on: the users' engines come before."""


def fill(store: Store, count: int) -> None:
    """Write ``count`` inspections of ``count / 10`` engines with four decided plugs each, past the store's own verbs."""
    with writing(store.engine, store.location) as c:
        c.execute(
            insert(t.engine),
            [{"id": FIRST + n, "name": f"Engine {n:06d}"} for n in range(max(1, count // 10))],
        )
    for first in range(0, count, BATCH):
        numbers = range(first, min(first + BATCH, count))
        whens = {
            n: f"20{10 + n % 15:02d}-{1 + n % 12:02d}-{1 + n % 28:02d}T10:00:00.000000+00:00" for n in numbers
        }
        inspections = [
            {
                "id": f"filled{n:06d}", "engine_id": FIRST + n % max(1, count // 10), "facts_json": "{}", "invented": True,
                "version": 1 + PLUGS, "started": whens[n], "updated": whens[n], "open_outcome": n % 7 == 0,
            }
            for n in numbers
        ]  # fmt: skip
        entries = [
            {
                "inspection_id": f"filled{n:06d}", "kind": "confirmation", "cylinder": plug, "position": "", "number": plug,
                "replaces": None, "body_json": "{}", "at": whens[n], "withdrawn_at": None,
            }
            for n in numbers
            for plug in range(1, PLUGS + 1)
        ]  # fmt: skip
        with writing(store.engine, store.location) as c:
            c.execute(insert(t.inspection), inspections)
            c.execute(insert(t.entry), entries)


def median_ms(ask: Callable[[int], object]) -> float:
    """Median time of one question, asked with different arguments."""
    took = []
    for number in range(TIMES):
        start = time.perf_counter()
        ask(number)
        took.append(1000 * (time.perf_counter() - start))
    return statistics.median(took)


def ask_all(store: Store, count: int) -> bool:
    """Print what each list and history takes; return whether all meet the goal."""
    chance = random.Random(1)  # noqa: S311 - which rows are asked for is no secret
    engines = max(1, count // 10)
    questions: dict[str, Callable[[int], object]] = {
        "last 50 inspections": lambda _: store.recent(),
        "50 inspections, 50,000 further back": lambda n: store.recent(offset=count // 2 + n),
        "inspections of one engine": lambda _: store.recent(engine=f"Engine {chance.randrange(engines):06d}"),
        "open outcomes": lambda _: store.recent(open_outcomes=True),
        "engines whose name starts so": lambda n: store.engines(starting=f"engine 00{n % 10}"),
        "history of one engine": lambda _: store.history(f"Engine {chance.randrange(engines):06d}"),
        "one inspection": lambda _: store.load(f"filled{chance.randrange(count):06d}"),
    }
    fine = True
    for name, ask in questions.items():
        took = median_ms(ask)
        fine &= took < GOAL_MS
        sys.stdout.write(f"{name}: {took:.1f} ms, median of {TIMES} (goal {GOAL_MS})\n")
    return fine


def work(store: Store, users: int, made: int) -> bool:
    """Let ``users`` write at once, each own inspections and one that all share; return whether nothing was lost."""
    shared = store.new_inspection("Shared engine", "{}", invented=True).id
    each = made // users

    def person(number: int) -> tuple[list[str], int]:
        own, refused = [], 0
        for k in range(each):
            mine = store.new_inspection(f"Engine of {number}", "{}", invented=True)
            store.add_entry(mine.id, "confirmation", f'"{number} {k}"', cylinder=1)
            store.add_entry(shared, "reading", f'"{number} {k}"', cylinder=1)
            if k % 10 == 0:
                seen = store.load(shared).version
                try:
                    store.set_facts(shared, f'"{number} {k}"', expected_version=seen)
                except Conflict:
                    refused += 1
            own.append(mine.id)
        return own, refused

    start = time.perf_counter()
    with ThreadPoolExecutor(users) as people:
        done = list(people.map(person, range(users)))
    took = time.perf_counter() - start
    kept = store.load(shared)
    told = sum(refused for _, refused in done)
    there = {entry.body_json for entry in kept.entries}
    wanted = {f'"{number} {k}"' for number in range(users) for k in range(each)}
    writes = users * each + users * -(-each // 10) - told + 1
    whole = there == wanted and kept.version == writes
    whole &= all(len(store.load(one).entries) == 1 for own, _ in done for one in own)
    sys.stdout.write(
        f"{users} users, {users * each} inspections, {3 * users * each} writes in {took:.0f} s: "
        f"{'no update lost' if whole else 'UPDATES LOST'}; {told} second writers were told\n"
    )
    return whole


def main() -> int:
    """Run both parts; 1 where a goal is missed."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--url", default="")
    parser.add_argument("--postgres", action="store_true")
    parser.add_argument("--keep", type=int, default=100_000)
    parser.add_argument("--users", type=int, default=20)
    parser.add_argument("--made", type=int, default=2000)
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, ExitStack() as stack:
        where = args.url or str(Path(folder) / "store.sqlite")
        if args.postgres:
            where = stack.enter_context(postgres(Path(stack.enter_context(tempfile.TemporaryDirectory()))))
        with Store.open(where, files=Path(folder)) as store:
            sys.stdout.write(f"{store.engine.dialect.name}, {args.keep} inspections\n")
            whole = work(store, args.users, args.made)
            fill(store, args.keep)
            fine = ask_all(store, args.keep)
    return 0 if whole and fine else 1


if __name__ == "__main__":
    sys.exit(main())
