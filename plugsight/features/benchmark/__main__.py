"""``python -m plugsight.features.benchmark FOLDER``: run every picture of a folder of renders and print the figures."""

import argparse
import datetime as dt
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

from plugsight.features.benchmark.case import run_case
from plugsight.features.benchmark.report import lines
from plugsight.features.benchmark.truth import read_truth


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; 2 if the folder holds no truth."""
    parser = argparse.ArgumentParser(prog="python -m plugsight.features.benchmark", description=__doc__)
    parser.add_argument("folder", type=Path, help="renders: truth.jsonl, images/, masks/")
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--limit", type=int, default=0, help="only so many pictures, evenly chosen; 0: all")
    args = parser.parse_args(arguments)
    truths = list(read_truth(args.folder))
    if args.limit and len(truths) > args.limit:
        truths = truths[:: max(1, len(truths) // args.limit)][: args.limit]
    out = sys.stdout
    if not truths:
        out.write(f"{args.folder}: no truth.jsonl with plugs. Render a set first.\n")
        return 2
    with ProcessPoolExecutor(args.workers) as pool:
        cases = list(pool.map(partial(run_case, args.folder), truths, chunksize=4))
    out.write(f"{dt.date.today().isoformat()} {args.folder.name}\n")  # noqa: DTZ011 - the bench's own day
    for line in lines(cases):
        out.write(line + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
