"""End views: how big the shell is, on rendered crops whose frame is known."""

import gzip
import json
from pathlib import Path

import cv2
import numpy as np
import pytest

from plugsight.view.end import find_circle
from plugsight.view.finder import see_parts

SET = Path(__file__).parents[2] / "data_synthetic" / "calibration"
SHELL_PX = 256
"""The renderer frames end crops so that the shell's circle takes 80 % of 320 pixels (data_synthetic/README.md)."""


@pytest.fixture(scope="module")
def crops() -> list[np.ndarray]:
    lines = gzip.decompress((SET / "truth.jsonl.gz").read_bytes()).decode().splitlines()
    names = [row["name"] for row in map(json.loads, lines) if row.get("kind") == "end"][:8]
    return [cv2.imread(str(SET / "crops" / f"{name}.webp"))[..., ::-1].copy() for name in names]


def diameter(picture: np.ndarray) -> float:
    parts = see_parts(picture)
    assert parts is not None
    circle = find_circle(picture, parts)
    assert circle is not None
    return circle.diameter


def test_the_crests_circle_is_told_from_bore_and_hexagon(crops: list[np.ndarray]) -> None:
    ratio = np.array([diameter(crop) for crop in crops]) / SHELL_PX
    # the bore stands at 0.6 to 0.76 of it, a hexagon from 1.3 on: none may be taken for it more than once in eight
    assert np.sum(np.abs(ratio - 1) < 0.12) >= 7
    assert np.median(ratio) == pytest.approx(1.0, abs=0.05)


def test_a_picture_twice_as_large_gives_twice_the_circle(crops: list[np.ndarray]) -> None:
    large = cv2.resize(crops[0], None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC)
    assert diameter(large) / diameter(crops[0]) == pytest.approx(2.0, rel=0.03)
