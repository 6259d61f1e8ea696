"""Resuming, recipes and packing without the renderer; one tiny picture with it, where it is installed."""

import json

import numpy as np
import pytest

from plugsight.synthetic.denoise import filled
from plugsight.synthetic.plug_job import Recipe
from plugsight.synthetic.render_engine import find_engine
from plugsight.synthetic.render_set import gather, missing, prepare, render_set
from plugsight.vocabulary.errors import InputError

RECIPE = Recipe(family="train", seed=3, size=96, spp=2, views="oblique")


def test_only_what_is_neither_done_nor_failed_is_missing(tmp_path):
    prepare(tmp_path, RECIPE)
    (tmp_path / "truth" / "000001.json").write_text('{"name": "000001_0"}\n')
    (tmp_path / "failed" / "000003.txt").write_text("why")
    assert missing(tmp_path, 0, 5) == [0, 2, 4]
    assert gather(tmp_path) == 1


def test_a_folder_of_another_recipe_is_refused(tmp_path):
    prepare(tmp_path, RECIPE)
    prepare(tmp_path, RECIPE)
    with pytest.raises(InputError, match="another recipe"):
        prepare(tmp_path, Recipe(family="train", seed=4, size=96, spp=2))


def test_pixels_without_a_number_are_filled_from_neighbours():
    picture = np.full((9, 9, 3), 0.5, np.float32)
    picture[4, 4] = np.nan
    picture[0, 0] = np.inf
    assert np.allclose(filled(picture), 0.5)


def test_a_renderer_that_is_missing_is_said_in_words(monkeypatch):
    def absent(_name):
        raise engine.PackageNotFoundError

    import plugsight.synthetic.render_engine as engine

    monkeypatch.setattr(engine, "version", absent)
    find_engine.cache_clear()
    with pytest.raises(InputError, match="render extra"):
        find_engine()
    find_engine.cache_clear()


def test_a_native_abort_in_the_probe_is_a_plain_no(monkeypatch):
    import plugsight.synthetic.render_engine as engine

    monkeypatch.setattr(engine, "version", lambda _name: "3.8.0")
    monkeypatch.setattr(engine, "_PROBE", "import os\nos.abort()  # {variant}")
    find_engine.cache_clear()
    with pytest.raises(InputError, match="LLVM"):
        find_engine("llvm_ad_rgb")
    find_engine.cache_clear()


@pytest.mark.filterwarnings("ignore")
def test_same_seed_same_truth_and_masks(tmp_path):
    pytest.importorskip("mitsuba")
    variant = find_engine().variant
    if variant == "scalar_rgb":
        pytest.skip("the mask pass takes minutes without LLVM")
    for name in ("a", "b"):
        assert render_set(tmp_path / name, RECIPE, 1, variant) == 1
    rows = [json.loads((tmp_path / n / "truth" / "000000.json").read_text()) | {"seconds": 0} for n in "ab"]
    assert rows[0] == rows[1]
    masks = [(tmp_path / n / "masks" / "000000_0.png").read_bytes() for n in "ab"]
    assert masks[0] == masks[1]
    assert rows[0]["part_px"][1] > 500
