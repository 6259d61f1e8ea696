"""What starting, importing and looking cost, in processor time: ``python tests/scale/speed.py [PHOTO]``.

Processor time, because a shared machine's clock tells of its other users. Ratios are against the plain decoding of the
same photo in the same process. Goal: ``plugsight --help`` under 0.5 s.
"""

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from unittest.mock import patch

import cv2
import numpy as np
from streamlit.testing.v1 import AppTest

from plugsight import flow
from plugsight.features import Features, measure_canonical
from plugsight.segments.model_file import model_path
from plugsight.training.peer import load_peer
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.errors import InputError

PACKAGE = Path(flow.__file__).parent
PHOTO = PACKAGE / "cli" / "demo" / "photos" / "1_side.jpg"
TIMES = 5


def child_s(*command: str) -> float:
    """Median processor seconds of a command."""
    took = []
    for _ in range(TIMES):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        took.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return statistics.median(took)


def own_s(work: Callable[[], object]) -> float:
    """Median processor seconds of ``work`` in this process, after one run that loads what it needs."""
    work()
    took = []
    for _ in range(TIMES):
        start = time.process_time()
        work()
        took.append(time.process_time() - start)
    return statistics.median(took)


def megabytes(folder: Path) -> float:
    """Size of the files in ``folder``, caches left out."""
    files = [p for p in folder.rglob("*") if p.is_file() and "__pycache__" not in p.parts]
    return sum(p.stat().st_size for p in files) / 1e6


def peer_line(seen: flow.PhotoLook) -> list[tuple[str, str]]:
    """Crop to chances, ours and the peer's, where the extra ``lab`` and a crop are there."""
    if not isinstance(seen.features, Features):
        return []
    try:
        embed = load_peer()
    except InputError:
        return [("the peer", "not installed (extra lab)")]
    crop, kind = seen.features.canonical, seen.features.kind
    # The time does not depend on what is seen, so the crop stands for its close-up, which features do not keep.
    ours = own_s(lambda: measure_canonical(crop, kind, closeup=crop))
    theirs = own_s(lambda: embed(crop))
    return [
        (
            "crop to numbers, ours and the peer's",
            f"{1000 * ours:.0f} and {1000 * theirs:.0f} ms, ratio {ours / theirs:.1f}",
        )
    ]


def main() -> int:
    """Print the table."""
    photo = Path(sys.argv[1]) if len(sys.argv) > 1 else PHOTO
    data = photo.read_bytes()
    cv2.setNumThreads(1)
    os.environ["OMP_NUM_THREADS"] = "1"
    decode = own_s(lambda: cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR))
    one = own_s(lambda: flow.look_at(photo.name, data, PlugSpec(thread="M14x1.25")))
    seen = flow.look_at(photo.name, data, PlugSpec(thread="M14x1.25"))
    suggest = own_s(lambda: flow.look([seen]))
    helped = child_s(str(Path(sys.executable).with_name("plugsight")), "--help")
    imported = child_s(sys.executable, "-c", "import plugsight.flow")
    bare = child_s(sys.executable, "-c", "import cv2, numpy, sklearn.ensemble, skimage.feature")
    # The test driver has no network address of its own, which the page's door asks for.
    with tempfile.TemporaryDirectory() as store, patch("plugsight.page.guard.is_here", lambda _: True):
        os.environ["PLUGSIGHT_STORE"] = store
        page = AppTest.from_file(str(PACKAGE / "page" / "script.py"), default_timeout=120)
        answered = own_s(page.run)
        if page.exception or not page.button:
            raise SystemExit(f"the page did not come up: {page.exception}")
    lines = [
        ("plugsight --help", f"{helped:.2f} s (goal 0.5)"),
        ("import plugsight.flow", f"{imported:.2f} s, of which the libraries {bare:.2f} s"),
        ("decode the photo", f"{1000 * decode:.1f} ms ({photo.name}, {len(data) // 1000} kB)"),
        ("look at it", f"{1000 * one:.0f} ms, {one / decode:.0f} times the decoding"),
        ("suggest from it", f"{1000 * suggest:.0f} ms"),
        *peer_line(seen),
        ("page answers a touch (start view)", f"{1000 * answered:.0f} ms"),
        ("installed, libraries included", f"{megabytes(Path(np.__file__).parents[1]):.0f} MB"),
        ("package", f"{megabytes(PACKAGE):.1f} MB and {megabytes(model_path()):.1f} MB of models"),
    ]
    sys.stdout.writelines(f"{name}: {value}\n" for name, value in lines)
    return 0 if helped < 0.5 else 1


if __name__ == "__main__":
    sys.exit(main())
