"""The tables agree with the formulas they stand for."""

import numpy as np

from plugsight.photo.tone import decode, encode, linear_to_srgb, srgb_to_linear


def test_decode_table_is_the_formula() -> None:
    codes = np.arange(256, dtype=np.uint8)
    np.testing.assert_allclose(decode(codes), srgb_to_linear(codes / 255), rtol=1e-6)


def test_encode_undoes_decode_within_a_code_in_the_lights_and_three_in_the_deepest_shadow() -> None:
    codes = np.arange(256, dtype=np.uint8)
    miss = np.abs(encode(decode(codes)).astype(int) - codes.astype(int))
    assert miss[11:].max() <= 1
    assert miss.max() <= 3


def test_the_curve_comes_back_and_rises() -> None:
    # Tolerance of the two published branch limits, IEC 61966-2-1 (they meet to 1e-7 only).
    c = np.linspace(0, 1, 1001)
    np.testing.assert_allclose(linear_to_srgb(srgb_to_linear(c)), c, atol=1e-7)
    assert np.all(np.diff(srgb_to_linear(c)) > 0)
