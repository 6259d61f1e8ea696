"""``python -m plugsight.features.benchmark FOLDER``: run every picture of a folder of renders and print the figures."""

import argparse
import datetime as dt
import math
import multiprocessing
import statistics
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

from plugsight.features.benchmark.case import run_case
from plugsight.features.benchmark.colour_repeat import colour_difference
from plugsight.features.benchmark.figures import spread
from plugsight.features.benchmark.report import lines
from plugsight.features.benchmark.speed import Timing, compose, time_road
from plugsight.features.benchmark.truth import PictureTruth, read_truth


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; 2 if the folder holds no truth."""
    parser = argparse.ArgumentParser(prog="python -m plugsight.features.benchmark", description=__doc__)
    parser.add_argument("folder", type=Path, help="renders: truth.jsonl, images/, masks/")
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--limit", type=int, default=0, help="only so many pictures, evenly chosen; 0: all")
    parser.add_argument("--colour", type=int, default=60, help="plugs photographed twice in other light")
    parser.add_argument("--timed", type=int, default=5, help="12-megapixel photos timed")
    args = parser.parse_args(arguments)
    truths = list(read_truth(args.folder))
    chosen = _some(truths, args.limit) if args.limit else truths
    if not chosen:
        sys.stdout.write(f"{args.folder}: no truth.jsonl with plugs. Render a set first.\n")
        return 2
    sys.stdout.write(f"{dt.date.today().isoformat()} {args.folder.name}\n")  # noqa: DTZ011 - the bench's own day
    with ProcessPoolExecutor(args.workers, multiprocessing.get_context("spawn")) as pool:
        cases = list(pool.map(partial(run_case, args.folder), chosen, chunksize=4))
        for line in lines(cases):
            sys.stdout.write(line + "\n")
        sys.stdout.flush()
        for harsh in (False, True):
            twice = partial(colour_difference, args.folder, harsh=harsh)
            found = list(pool.map(twice, _some(truths, args.colour), chunksize=2))
            title = (
                "with local tone mapping and flash"
                if harsh
                else "2700 to 6500 K, 1 EV, global tone (goal median 3)"
            )
            sys.stdout.write(f"nose colour between two photos, CIEDE2000, {title}: {spread(found)}\n")
    sys.stdout.writelines(
        line + "\n" for line in _speed(args.folder, _some(truths, 4 * args.timed), args.timed)
    )
    return 0


def _some(truths: Sequence[PictureTruth], count: int) -> list[PictureTruth]:
    return list(truths[:: max(1, len(truths) // max(count, 1))][:count]) if count else []


def _speed(folder: Path, truths: Sequence[PictureTruth], wanted: int) -> Iterator[str]:
    """Medians over photos; a fresh process, so that the peak is this road's own."""
    with ProcessPoolExecutor(1, multiprocessing.get_context("spawn")) as pool:
        timings: list[Timing] = []
        for truth in truths:
            if len(timings) >= wanted:
                break
            data = compose(folder, truth)
            timing = pool.submit(time_road, data, truth).result() if data else None
            again = pool.submit(time_road, data, truth).result() if data and timing else None
            if again is not None:  # the first pass loads the networks
                timings.append(again)
    if not timings:
        yield "time: no picture came through"
        return
    ratio = statistics.median(t.ratio for t in timings)
    yield f"12 megapixels to features: {ratio:.2f} times a full-size decode (goal 4), n {len(timings)}"
    for stage in ("decode", "photo", "view", "segments", "features"):
        yield f"  {stage}: {1000 * statistics.median(getattr(t, stage) for t in timings):.0f} ms"
    yield f"  peak memory {max((t.peak_mb for t in timings), default=math.nan):.0f} MB (goal 700)"


if __name__ == "__main__":
    sys.exit(main())
