"""Attack everything that reads a file, and print what came of it: ``python tests/hostile/attack.py --count 5000``.

Every case but the first of each kind, which is whole and must be read, is a damaged or malicious input. It must be read, or refused with a message that says what to do; never
crash, run longer than five seconds of processor time, need a gigabyte, or write outside of its own folder. Each kind
runs in a process of its own, so that a crash of a library is seen and named with the case that caused it.
"""

import argparse
import importlib
import os
import random
import resource
import sys
import tempfile
import time
import traceback
from pathlib import Path
from typing import TYPE_CHECKING

from plugsight.vocabulary.errors import InputError, PlugsightError

if TYPE_CHECKING:
    from collections.abc import Callable

    Attack = Callable[[int, random.Random, Path], Callable[[], object]]

KINDS = {
    "photo": ("photos", "attack", 0.30),
    "labelled set": ("sets", "attack", 0.14),
    "engine file": ("texts", "attack_engine", 0.14),
    "knowledge": ("texts", "attack_knowledge", 0.12),
    "model": ("models", "attack", 0.08),
    "feature table": ("tables", "attack", 0.04),
    "database": ("stores", "attack_database", 0.10),
    "backup": ("stores", "attack_backup", 0.08),
}
"""Module, function, and share of the cases."""
MOST_SECONDS = 5.0
"""Processor time of one case."""
MOST_MEGABYTES = 1024
"""Greatest memory of the process, interpreter and libraries included."""
WORST = [0.0]
WATCHED = 50
"""Cases after which the surroundings are looked at again."""


def surroundings(folder: Path) -> dict[str, int]:
    """Files beside the target folder, with their sizes."""
    return {
        str(p): p.lstat().st_size
        for p in folder.rglob("*")
        if "target" not in p.relative_to(folder).parts[:1]
    }


def said_well(problem: PlugsightError) -> bool:
    """Whether a refusal says more than what is wrong."""
    if isinstance(problem, InputError):
        return bool(problem.remedy.strip())
    return ". " in str(problem)


def outcome(use: "Callable[[], object]") -> tuple[bool, str]:
    """Whether an input was read, and what was wrong with how it was read or refused (empty: nothing)."""
    started = time.process_time()
    try:
        use()
        read, wrong = True, ""
    except PlugsightError as problem:
        read, wrong = False, "" if said_well(problem) else f"no remedy: {problem}"
    except Exception as problem:  # noqa: BLE001 - whatever else comes out is what is looked for
        at = traceback.extract_tb(problem.__traceback__)[-1]
        read = False
        wrong = f"{type(problem).__name__}: {str(problem)[:120]} ({at.filename}:{at.lineno})"
    taken = time.process_time() - started
    WORST[0] = max(WORST[0], taken)
    return read, wrong or (f"{taken:.1f} s" if taken > MOST_SECONDS else "")


def run_kind(kind: str, count: int, seed: int, folder: Path) -> int:
    """Run the cases of one kind in this process; print one line; return the number of failures."""
    module, name, _ = KINDS[kind]
    attack: Attack = getattr(importlib.import_module(module), name)
    home = str(folder / "home")
    os.environ |= {"HOME": home, "XDG_DATA_HOME": home, "TMPDIR": str(folder / "tmp")}
    for part in ("home", "tmp", "target"):
        (folder / part).mkdir()
    (folder / "evil").write_text("stands here before")
    os.chdir(folder / "target")
    before, progress = surroundings(folder), folder / "target" / ".case"
    count_read, failures = 0, list[str]()
    for number in range(count):
        progress.write_text(str(number))
        chance = random.Random(f"{seed} {kind} {number}")  # noqa: S311 - a seed, no secret
        read, wrong = outcome(attack(number, chance, folder / "target"))
        count_read += read
        if number == 0 and not read:
            wrong = f"the unharmed input was refused: {wrong}"
        if (number % WATCHED == WATCHED - 1 or number == count - 1) and surroundings(folder) != before:
            wrong = f"written outside of its folder, here or shortly before; {wrong}"
            before = surroundings(folder)
        if wrong:
            failures.append(f"case {number}: {wrong}")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    if peak > MOST_MEGABYTES:
        failures.append(f"{peak:.0f} MB of memory")
    sys.stdout.write(
        f"{kind:13} {count:5} cases: {count_read:4} read, {count - count_read:4} refused, {len(failures)} failures; "
        f"worst {WORST[0]:.2f} s, {peak:.0f} MB\n"
    )
    for failure in failures[:12]:
        sys.stdout.write(f"    {failure}\n")
    return len(failures)


def main() -> int:
    """Run every kind, or the one asked for; the exit code is 1 where anything failed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=5000, help="cases over all kinds")
    parser.add_argument("--kind", choices=KINDS, help="one kind only, with all the cases")
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    for module in {module for module, _, _ in KINDS.values()}:
        importlib.import_module(module)
    failed = 0
    for kind, (_, _, share) in KINDS.items():
        if given.kind not in (None, kind):
            continue
        count = given.count if given.kind else max(1, round(given.count * share))
        with tempfile.TemporaryDirectory() as aside:
            folder = Path(aside).resolve()
            sys.stdout.flush()
            child = os.fork()  # a process of its own, without importing everything anew
            if child == 0:
                code = 2
                os.dup2(os.open(os.devnull, os.O_WRONLY), 2)  # what libraries say of damaged pictures
                try:
                    code = min(1, run_kind(kind, count, given.seed, folder))
                    sys.stdout.flush()
                finally:
                    os._exit(code)
            _, status = os.waitpid(child, 0)
            code = os.waitstatus_to_exitcode(status)
            if code not in (0, 1):
                case = folder / "target" / ".case"
                at = case.read_text() if case.exists() else "before the first"
                sys.stdout.write(f"{kind:13} CRASHED with {code} at case {at}\n")
            failed += code != 0
    sys.stdout.write(f"seed {given.seed}: {'everything held' if not failed else f'{failed} kinds failed'}\n")
    return min(1, failed)


if __name__ == "__main__":
    sys.exit(main())
