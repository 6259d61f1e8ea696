"""One seed, one picture: on plain CPU code to the last pixel. Runs where the ``render`` extra is installed."""

from pathlib import Path

import cv2
import pytest

from plugsight.synthetic.plug_job import Recipe
from plugsight.synthetic.render_set import render_set

pytest.importorskip("mitsuba")


def test_the_same_seed_gives_the_same_pixels_and_masks(tmp_path: Path) -> None:
    recipe = Recipe(family="train", seed=5, size=64, spp=1, views="side")
    for folder in ("one", "other"):
        assert render_set(tmp_path / folder, recipe, count=1, variant="scalar_rgb") == 1
    for part in ("images/000000_0.jpg", "masks/000000_0.png"):
        first, second = (cv2.imread(str(tmp_path / f / part), cv2.IMREAD_UNCHANGED) for f in ("one", "other"))
        assert (first == second).all()
