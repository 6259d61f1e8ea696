"""Many photos: every one gets its line once, whatever stops the run."""

import json
import os
import signal
import threading
import time
from pathlib import Path

import cv2
import numpy as np
import pytest
from distributed import Client, LocalCluster

from plugsight.batch import find_photos, run_batch
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.errors import InputError

SPEC = PlugSpec(thread="M14x1.25")


def lines_of(path: Path) -> list[dict]:
    return [json.loads(line) for line in path.read_text("utf-8").splitlines()]


@pytest.fixture
def photos(tmp_path: Path) -> list[Path]:
    rng = np.random.default_rng(3)
    made = []
    for k in range(5):
        path = tmp_path / "photos" / f"{k}.png"
        path.parent.mkdir(exist_ok=True)
        cv2.imwrite(str(path), rng.integers(0, 255, (64, 64, 3)).astype(np.uint8))
        made.append(path)
    return made


def test_folders_are_searched_and_listings_read(tmp_path: Path, photos: list[Path]) -> None:
    (tmp_path / "photos" / "notes.md").write_text("no photo")
    listing = tmp_path / "some.txt"
    listing.write_text("photos/3.png\n\nphotos/gone.jpg\n")
    assert find_photos([tmp_path / "photos"]) == tuple(photos)
    assert find_photos([listing, photos[3]]) == (photos[3], tmp_path / "photos" / "gone.jpg")


def test_nothing_to_do_is_said(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="none found"):
        find_photos([tmp_path])
    with pytest.raises(InputError, match="no such file"):
        find_photos([tmp_path / "nowhere"])


def test_every_photo_gets_a_line_with_reason_and_remedy(tmp_path: Path, photos: list[Path]) -> None:
    broken = tmp_path / "photos" / "broken.jpg"
    broken.write_bytes(b"no picture")
    gone = tmp_path / "gone.jpg"
    count = run_batch([photos[0], broken, gone], tmp_path / "out.jsonl", SPEC)
    lines = lines_of(tmp_path / "out.jsonl")
    assert [line["path"] for line in lines] == [str(photos[0]), str(broken), str(gone)]
    assert [line["unreadable"] for line in lines] == [False, True, True]
    assert all(line["refused"] for line in lines)
    assert (count.done, count.refused, count.unreadable) == (3, 3, 2)


def test_a_run_goes_on_where_it_was_cut(tmp_path: Path, photos: list[Path]) -> None:
    out = tmp_path / "out.jsonl"
    run_batch(photos[:3], out, SPEC)
    whole = out.read_bytes()
    out.write_bytes(whole[:-20])  # the third line was being written when the power went
    count = run_batch(photos, out, SPEC)
    assert (count.before, count.done) == (2, 3)
    assert [line["path"] for line in lines_of(out)] == [str(p) for p in photos]


def test_a_file_of_something_else_is_left_alone(tmp_path: Path, photos: list[Path]) -> None:
    out = tmp_path / "letter.txt"
    for text in ("Dear customer", "Dear customer\nyours\n"):
        out.write_text(text)
        with pytest.raises(InputError, match="no file of result lines"):
            run_batch(photos, out, SPEC)
        assert out.read_text() == text


def test_a_second_run_on_the_same_file_is_refused(tmp_path: Path, photos: list[Path]) -> None:
    out = tmp_path / "out.jsonl"
    told = []

    def again(_: int, __: object) -> None:
        with pytest.raises(InputError, match="another run is writing it"):
            run_batch(photos, out, SPEC)
        told.append(1)

    run_batch(photos[:2], out, SPEC, tell=again)
    assert len(told) == len(lines_of(out)) == 2


def test_nobody_at_the_address_is_said(tmp_path: Path, photos: list[Path], monkeypatch) -> None:
    monkeypatch.setattr("plugsight.spread.WAIT_S", 0.5)
    with pytest.raises(InputError, match="no scheduler answers"):
        run_batch(photos, tmp_path / "out.jsonl", SPEC, scheduler="tcp://127.0.0.1:9")


@pytest.mark.filterwarnings("ignore")  # the cluster warns of the worker that this test kills
def test_a_killed_worker_loses_nothing_and_repeats_nothing(tmp_path: Path, photos: list[Path]) -> None:
    many = [tmp_path / f"{k}.png" for k in range(60)]
    for k, path in enumerate(many):
        path.write_bytes(photos[k % 5].read_bytes())
    out = tmp_path / "out.jsonl"
    with LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as cluster:
        with Client(cluster.scheduler_address) as client:
            victim = next(iter(client.run(os.getpid).values()))
        killed = threading.Event()

        def kill(lines: int, _: object) -> None:
            if lines == 4:
                os.kill(victim, signal.SIGKILL)
                killed.set()
                time.sleep(0.5)

        count = run_batch(many, out, SPEC, scheduler=cluster.scheduler_address, tell=kill)
    assert killed.is_set()
    assert count.done == 60
    assert [line["path"] for line in lines_of(out)] == [str(p) for p in many]


def test_names_that_are_no_text_and_things_that_are_no_photo(tmp_path: Path, photos: list[Path]) -> None:
    folder = tmp_path / "odd"
    folder.mkdir()
    odd = Path(os.fsdecode(os.fsencode(folder) + b"/\xff.png"))
    odd.write_bytes(photos[0].read_bytes())
    os.mkfifo(folder / "pipe.jpg")
    (folder / "folder.png").mkdir()
    found = find_photos([folder])
    assert found == (odd,)
    run_batch(found, tmp_path / "lines", SPEC)
    again = run_batch(found, tmp_path / "lines", SPEC)
    assert (again.before, again.done) == (1, 0)
    (line,) = lines_of(tmp_path / "lines")
    assert line["path"] == str(odd)
