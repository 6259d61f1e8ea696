"""What a packed set holds, and the close-up's place and colour by the picture's truth."""

import json

import cv2
import numpy as np
import pytest

from plugsight.synthetic.close_crop import CLOSE_PX, FINER, FINER_END, close_up, close_window
from plugsight.synthetic.pack_sets import pack_set, pick_samples
from plugsight.synthetic.phone_camera import to_srgb

HALF = (CLOSE_PX - 1) / 2


class _Still:
    """A chance that disturbs nothing."""

    def uniform(self, low, high, size=None):
        return (low + high) / 2 if size is None else np.full(size, (low + high) / 2)


def row_of(kind="side", name="000000_0"):
    turn, shrink = np.radians(20), 0.4
    c, s = shrink * np.cos(turn), shrink * np.sin(turn)
    return {
        "name": name, "kind": kind, "seed": 1, "plug": 0, "view": 0, "crop_gains": [2.0, 1.0, 0.5],
        "crop_matrix": [[c, -s, 60.0], [s, c, -40.0]],
    }  # fmt: skip


def photo_and_mask(electrode=True):
    photo = np.full((700, 700, 3), round(255 * float(to_srgb(np.float32(0.2)))), np.uint8)
    mask = np.ones((700, 700), np.uint8)
    if electrode:
        cv2.circle(mask, (400, 300), 12, 3, -1)
    return photo, mask


def through(window, row, point):
    x, y = window @ (*point, 1.0)
    return np.array(row["crop_matrix"]) @ (x, y, 1.0)


@pytest.mark.parametrize(("kind", "finer"), [("side", FINER), ("oblique", FINER), ("end", FINER_END)])
def test_the_close_up_is_turned_like_the_canonical_crop_and_so_many_times_finer(kind, finer):
    row = row_of(kind)
    window = close_window(photo_and_mask()[1], row, _Still())
    middle, right = through(window, row, (HALF, HALF)), through(window, row, (HALF + finer, HALF))
    assert right - middle == pytest.approx([1.0, 0.0], abs=1e-9)


def test_the_electrodes_top_stands_in_the_middle():
    row = row_of()
    window = close_window(photo_and_mask()[1], row, _Still())
    electrode = np.array(row["crop_matrix"]) @ (400, 300, 1.0)
    # A circle of 12 photo pixels: 4.8 canonical ones; its uppermost 2 % lie a little below its top.
    assert through(window, row, (HALF, HALF)) == pytest.approx([electrode[0], electrode[1] - 4.5], abs=0.4)


@pytest.mark.parametrize(("kind", "place"), [("side", (159.5, 112.0)), ("end", (159.5, 159.5))])
def test_without_an_electrode_and_end_on_it_has_a_fixed_place(kind, place):
    row = row_of(kind)
    window = close_window(photo_and_mask(electrode=kind == "end")[1], row, _Still())
    assert through(window, row, (HALF, HALF)) == pytest.approx(place, abs=1e-9)


def test_it_errs_by_14_pixels_and_2_percent_at_most():
    row, mask = row_of(), photo_and_mask()[1]
    still = close_window(mask, row, _Still())
    windows = [close_window(mask, row, np.random.default_rng(k)) for k in range(200)]
    off = [FINER * (through(w, row, (HALF, HALF)) - through(still, row, (HALF, HALF))) for w in windows]
    scale = [np.hypot(w[0, 0], w[1, 0]) / np.hypot(still[0, 0], still[1, 0]) for w in windows]
    assert 12 < np.abs(off).max() < 14.3
    assert 0.015 < np.abs(np.log(scale)).max() <= 0.02


def test_the_card_makes_it_neutral_and_what_lies_outside_is_card_grey():
    photo, mask = photo_and_mask()
    picture, labels = close_up(photo, mask, row_of() | {"crop_matrix": [[0.4, 0, 60], [0, 0.4, 0]]}, _Still())
    seen = picture[labels == 1]
    expected = [round(255 * float(to_srgb(np.float32(0.2 * gain)))) for gain in (2.0, 1.0, 0.5)]
    assert np.abs(seen.astype(int) - expected).max() <= 1
    photo, mask = photo_and_mask(electrode=False)
    beyond = row_of() | {"crop_matrix": [[0.4, 0, 150], [0, 0.4, 100]]}
    outside, parts = close_up(photo, mask, beyond, _Still())
    assert (parts == 255).any()
    assert (outside[parts == 255] == 118).all()


@pytest.fixture
def rendered(tmp_path):
    source = tmp_path / "rendered"
    photo, mask = photo_and_mask()
    rows = [row_of(name=f"00000{k}_0") | {"plug": k} for k in range(3)]
    for part, picture, ending in (
        ("images", photo, "jpg"), ("masks", mask, "png"),
        ("crops", photo[:320, :320], "jpg"), ("crop_masks", mask[:320, :320], "png"),
    ):  # fmt: skip
        (source / part).mkdir(parents=True)
        for row in rows:
            cv2.imwrite(str(source / part / f"{row['name']}.{ending}"), picture)
    (source / "truth.jsonl").write_text("\n".join(map(json.dumps, rows)))
    (source / "recipe.json").write_text("{}")
    return source


def packed(target):
    return {at.name: len(list(at.iterdir())) for at in target.iterdir() if at.is_dir()}


def test_a_set_that_keeps_its_photos_needs_no_crops(rendered, tmp_path):
    assert pack_set(rendered, tmp_path / "packed") == 3
    assert packed(tmp_path / "packed") == {"images": 3, "masks": 3}


def test_without_its_photos_a_set_keeps_crops_and_close_ups(rendered, tmp_path):
    assert pack_set(rendered, tmp_path / "packed", limit=2, photos=False) == 2
    assert packed(tmp_path / "packed") == {"crops": 2, "crop_masks": 2, "closeups": 2, "closeup_masks": 2}
    close = cv2.imread(str(tmp_path / "packed" / "closeups" / "000001_0.webp"))
    assert close.shape == (CLOSE_PX, CLOSE_PX, 3)


def test_a_set_rendered_without_photos_is_packed_as_crops(rendered, tmp_path):
    for part in ("images", "masks"):
        for at in (rendered / part).iterdir():
            at.unlink()
        (rendered / part).rmdir()
    assert pack_set(rendered, tmp_path / "packed") == 3
    assert packed(tmp_path / "packed") == {"crops": 3, "crop_masks": 3}


@pytest.mark.parametrize("photos", [True, False])
def test_samples_are_taken_from_packed_sets_too(rendered, tmp_path, photos):
    pack_set(rendered, tmp_path / "packed", photos=photos)
    assert pick_samples([tmp_path / "packed"], tmp_path / "samples", 2) == 2
    assert len(list((tmp_path / "samples").glob("*_packed_*.jpg"))) == 2
