"""Kill the program at random moments and look what is left: ``python tests/faults/cut.py --count 200``.

A process saves, exports, migrates or promotes until it is killed (SIGKILL: no clean-up of any kind runs). What it
acknowledged before must be there, nothing half-written may be read, and the next start heals what was begun.
"""

import argparse
import os
import random
import select
import signal
import sys
import tempfile
import time
from pathlib import Path

from works import WORKS, Work

LONGEST = 0.4
"""Seconds after the first acknowledgement within which a process is killed."""
PATIENCE = 120.0


def killed(work: Work, folder: Path, turn: int, delay: float) -> list[str]:
    """Let a process work, kill it, and return what it acknowledged, line by line."""
    reader, writer = os.pipe()
    sys.stdout.flush()
    child = os.fork()  # a process of its own, without importing everything anew
    if child == 0:
        os.close(reader)
        try:
            work.do(folder, turn, lambda words: os.write(writer, f"{words}\n".encode()) and None)
        finally:
            os._exit(1)  # work never ends by itself
    os.close(writer)
    said = b""
    if select.select([reader], [], [], PATIENCE)[0]:
        said = os.read(reader, 1 << 16)
        time.sleep(delay)
    os.kill(child, signal.SIGKILL)
    with os.fdopen(reader, "rb") as rest:
        said += rest.read()
    _, status = os.waitpid(child, 0)
    if os.waitstatus_to_exitcode(status) != -signal.SIGKILL:
        raise AssertionError(f"turn {turn}: the process ended by itself")
    return said.decode().splitlines()


def main() -> int:
    """Print one line per kind of work; the exit code is 1 where anything was lost or half-written."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=200, help="kills over all kinds of work")
    parser.add_argument("--seed", type=int, default=7)
    given = parser.parse_args()
    moments = random.Random(given.seed)  # noqa: S311 - moments to cut at, no secret
    failed = 0
    for name, work in WORKS.items():
        turns = max(1, given.count // len(WORKS))
        acknowledged, problems = list[str](), list[str]()
        with tempfile.TemporaryDirectory() as aside:
            folder = Path(aside)
            work.prepare(folder)
            for turn in range(turns):
                try:
                    acknowledged += killed(work, folder, turn, moments.uniform(0.0, LONGEST))
                    work.check(folder, turn, acknowledged)
                except Exception as problem:  # noqa: BLE001 - whatever goes wrong after a cut is what is looked for
                    problems.append(f"{type(problem).__name__}: {problem}")
        sys.stdout.write(
            f"{name:10} {turns:4} kills, {len(acknowledged):6} things acknowledged, {len(problems)} failures\n"
        )
        for problem in problems[:8]:
            sys.stdout.write(f"    {problem}\n")
        failed += bool(problems)
    sys.stdout.write(
        f"seed {given.seed}: {'nothing lost, nothing half-written' if not failed else 'FAILED'}\n"
    )
    return min(1, failed)


if __name__ == "__main__":
    sys.exit(main())
