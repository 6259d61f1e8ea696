"""Colour against published values: CIEDE2000, sRGB, CIE L*, and a card correction."""

import csv
from pathlib import Path

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000, rgb2lab

from plugsight.photo.tone import decode, linear_to_srgb, srgb_to_linear
from plugsight.view.card import GREY, find_card, neutral_light
from plugsight.view.ground import separate, standing_out
from plugsight.view.record import Card
from plugsight.vocabulary.refusal import NotFound, NotMeasured

DATA = Path(__file__).parent / "data"


def _pairs() -> list[list[float]]:
    # Sharma, Wu, Dalal: The CIEDE2000 Color-Difference Formula: Implementation Notes, Supplementary Test Data, and
    # Mathematical Observations. Color Research & Application 30(1):21-30, 2005, Table 1 (all 34 pairs).
    with (DATA / "ciede2000_34pairs.csv").open(newline="") as file:
        return [[float(value) for value in row] for row in list(csv.reader(file))[1:]]


def test_all_34_pairs_are_there() -> None:
    assert [int(row[0]) for row in _pairs()] == list(range(1, 35))


@pytest.mark.parametrize("row", _pairs(), ids=lambda row: f"pair {row[0]:.0f}")
def test_ciede2000_gives_the_published_difference_in_both_orders(row: list[float]) -> None:
    _, *lab, expected = row
    one, other = np.array(lab[:3]), np.array(lab[3:])
    # Table 1 has four decimals.
    assert float(deltaE_ciede2000(one, other)) == pytest.approx(expected, abs=1e-4)
    assert float(deltaE_ciede2000(other, one)) == pytest.approx(expected, abs=1e-4)


# IEC 61966-2-1:1999 decode; values computed with colour-science 0.4.7.
SRGB = {0: 0.0, 1: 0.000303527, 10: 0.003035270, 11: 0.003346536, 118: 0.181164244, 127: 0.212230757}
SRGB |= {128: 0.215860500, 188: 0.502886458, 200: 0.577580441, 255: 1.0}


@pytest.mark.parametrize(("code", "linear"), SRGB.items())
def test_srgb_decode_table(code: int, linear: float) -> None:
    assert float(srgb_to_linear(np.array([code / 255]))[0]) == pytest.approx(linear, abs=1e-8)
    assert float(decode(np.array([code], np.uint8))[0]) == pytest.approx(linear, abs=1e-7)


def test_srgb_encode_of_the_card() -> None:
    # IEC 61966-2-1:1999: linear 0.18 is 0.46135613, linear 0.5 is 0.73535698.
    coded = linear_to_srgb(np.array([0.18, 0.5]))
    np.testing.assert_allclose(coded, [0.46135613, 0.73535698], atol=1e-8)


def test_lightness_of_an_18_percent_card() -> None:
    # CIE 15: L* = 116 Y^(1/3) - 16 = 49.496 at Y = 0.18.
    grey = np.full((1, 1, 3), linear_to_srgb(np.array([GREY]))[0])
    assert float(np.asarray(rgb2lab(grey))[0, 0, 0]) == pytest.approx(49.496, abs=0.001)


def test_srgb_primaries_in_lab() -> None:
    # D65 Lab of the sRGB primaries, computed with scikit-image 0.26 and restated to two decimals by public tests.
    primaries = np.eye(3)[None]
    expected = [[53.24, 80.09, 67.20], [87.74, -86.18, 83.18], [32.30, 79.19, -107.86]]
    np.testing.assert_allclose(np.asarray(rgb2lab(primaries))[0], expected, atol=0.01)


# Reflectance of the six neutrals of a ColorChecker: 10 to the minus nominal density.
NEUTRALS = np.array([0.8913, 0.5888, 0.3631, 0.1995, 0.0891, 0.0316])


def _scene(gains: tuple[float, float, float], card: float = GREY) -> np.ndarray:
    """Card filling the picture, six neutral patches on it, all under light tinted by ``gains``."""
    linear = np.full((300, 400, 3), card)
    for k, grey in enumerate(NEUTRALS):
        linear[100:200, 50 + 50 * k : 100 + 50 * k] = grey
    coded = linear_to_srgb(linear * np.array(gains))
    # A camera's own grain keeps 8-bit rounding from shifting a whole patch.
    grain = np.random.default_rng(3).normal(0, 1.0, coded.shape)
    return np.clip(np.rint(255 * coded + grain), 0, 255).astype(np.uint8)


@pytest.mark.parametrize("gains", [(1.0, 1.0, 1.0), (1.1, 0.9, 0.55), (0.6, 0.8, 1.1), (0.4, 0.35, 0.3)])
def test_neutrals_come_out_neutral_after_the_card(gains: tuple[float, float, float]) -> None:
    picture = _scene(gains)
    ground = separate(picture)
    plug = standing_out(ground)
    assert not isinstance(plug, NotFound)
    card = find_card(ground, plug, None, 1.0)
    assert isinstance(card, Card)
    neutral = np.clip(neutral_light(picture, card), 0, 1)
    lab = np.asarray(rgb2lab(linear_to_srgb(neutral)))
    for k, grey in enumerate(NEUTRALS):
        if grey * max(gains) > 0.97:
            continue
        seen = lab[110:190, 60 + 50 * k : 90 + 50 * k].reshape(-1, 3).mean(axis=0)
        wanted = np.array([116 * np.cbrt(grey) - 16, 0.0, 0.0])
        assert float(deltaE_ciede2000(seen, wanted)) < 0.5


@pytest.mark.parametrize("level", [0.99, 0.0008])
def test_a_clipped_card_gives_no_colour(level: float) -> None:
    picture = _scene((1.0, 1.0, 1.0), card=level)
    ground = separate(picture)
    plug = standing_out(ground)
    assert not isinstance(plug, NotFound)
    assert isinstance(find_card(ground, plug, None, 1.0), NotMeasured)
