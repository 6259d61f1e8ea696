"""The learned look: what goes in is the nose's window, what comes out sums to one and follows the picture."""

import json
import shutil
from pathlib import Path

import cv2
import numpy as np
import pytest

from plugsight.features import look
from plugsight.features.look import look_window, measure_look
from plugsight.segments.canonical import find_parts_canonical
from plugsight.segments.model_file import model_path
from plugsight.segments.record import Part
from plugsight.training.crops import read_crops
from plugsight.view.record import ViewKind
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.errors import PlugsightError

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def crops():
    found = []
    for crop in read_crops(ROOT / "data_synthetic" / "calibration"):
        found.append(crop)
        if len(found) == 40:
            return found
    return found


def test_the_window_follows_the_kind_of_view() -> None:
    crop = np.zeros((320, 320, 3), np.uint8)
    labels = np.zeros((320, 320), np.uint8)
    crop[150, 160] = 255
    labels[150, 160] = Part.NOSE
    picture, parts = look_window(crop, labels, ViewKind.SIDE)
    assert picture.shape == parts.shape == (112, 112, 3)
    assert picture[60, 56].tolist() == [255, 255, 255]
    assert parts[60, 56].tolist() == [255, 0, 0]
    facing, _ = look_window(np.full((320, 320, 3), 90, np.uint8), labels, ViewKind.END)
    assert facing.shape == (112, 112, 3)
    assert (facing == 90).all()


def test_shares_sum_to_one_and_name_every_deposit(crops) -> None:
    crop = crops[0].crop
    found = measure_look(crop, find_parts_canonical(crop, crops[0].kind), crops[0].kind)
    assert set(found) == {look.look_name(d) for d in Deposit}
    assert sum(found.values()) == pytest.approx(1)


def test_it_tells_more_than_chance_on_plugs_it_never_saw(crops) -> None:
    right = 0
    for one in crops:
        found = measure_look(one.crop, find_parts_canonical(one.crop, one.kind), one.kind)
        right += max(found, key=found.__getitem__) == look.look_name(one.deposit)
    # 12 deposits: chance is 3 of 40; more than 9 by chance is rarer than 1 in 1,000 (binomial).
    assert right > 9


def test_soot_painted_on_a_nose_reads_darker_than_before(crops) -> None:
    one = next(c for c in crops if c.deposit is Deposit.BARE and c.kind is ViewKind.END)
    labels = find_parts_canonical(one.crop, one.kind)
    soot = one.crop.copy()
    soot[labels == Part.NOSE] = soot[labels == Part.NOSE] // 6
    dark = [look.look_name(d) for d in (Deposit.DRY_CARBON, Deposit.WET_OIL)]
    before, after = (measure_look(c, labels, one.kind) for c in (one.crop, cv2.GaussianBlur(soot, (3, 3), 0)))
    assert sum(after[d] for d in dark) > sum(before[d] for d in dark)


def test_a_changed_network_is_refused(tmp_path, monkeypatch) -> None:
    for name in (look.NETWORK, look.CARD, "parts.json"):
        shutil.copy(model_path() / name, tmp_path / name)
    card = json.loads((tmp_path / look.CARD).read_text())
    card["sha256"][look.NETWORK] = "0" * 64
    (tmp_path / look.CARD).write_text(json.dumps(card))
    monkeypatch.setattr("plugsight.features.look.model_path", lambda: tmp_path)
    monkeypatch.setattr("plugsight.segments.model_file.model_path", lambda: tmp_path)
    look._load.cache_clear()
    from plugsight.segments.model_file import load_model_bytes

    load_model_bytes.cache_clear()
    with pytest.raises(PlugsightError, match=r"look\.json"):
        look._load()
    look._load.cache_clear()
    load_model_bytes.cache_clear()
