"""R. L. Parish, Spark Plug Tightening Torque, LSU AgCenter, 12 May 2006."""

import pytest

from plugsight.verdict.torque import NM_PER_LBFT, torque_lbft, torque_words
from plugsight.vocabulary.engine import PlugSpec, Seat
from plugsight.vocabulary.refusal import NotFound

# thread, seat, cast iron lb-ft, aluminium lb-ft, cast iron N m (as restated)
TABLE = [
    ("M10x1.0", Seat.GASKET, (7, 11), (7, 11), (9.5, 14.9)),
    ("M12x1.25", Seat.GASKET, (11, 19), (11, 19), (14.9, 25.8)),
    ("M14x1.25", Seat.GASKET, (26, 29), (15, 22), (35.3, 39.3)),
    ("M14x1.25", Seat.TAPER, (7, 15), (7, 15), (9.5, 20.3)),
    ("M18x1.5", Seat.GASKET, (32, 38), (28, 34), (43.4, 51.5)),
    ("M18x1.5", Seat.TAPER, (15, 20), (15, 20), (20.3, 27.1)),
    ("7/8-18", Seat.GASKET, (35, 43), (31, 39), (47.5, 58.3)),
]


@pytest.mark.parametrize(("thread", "seat", "iron", "aluminium", "iron_nm"), TABLE)
def test_the_table(thread, seat, iron, aluminium, iron_nm):
    assert torque_lbft(thread, seat, aluminium=False) == iron
    assert torque_lbft(thread, seat, aluminium=True) == aluminium
    assert tuple(t * NM_PER_LBFT for t in iron) == pytest.approx(iron_nm, abs=0.1)


@pytest.mark.parametrize("thread", ["M14x1.25", "M18x1.5"])
@pytest.mark.parametrize("aluminium", [True, False])
def test_a_taper_seat_takes_less(thread, aluminium):
    taper = torque_lbft(thread, Seat.TAPER, aluminium=aluminium)
    gasket = torque_lbft(thread, Seat.GASKET, aluminium=aluminium)
    assert taper[1] <= gasket[0] or taper[1] < gasket[1]
    assert taper[0] < gasket[0]


def test_an_unknown_seat_is_asked_for_and_never_taken_as_gasket():
    assert isinstance(torque_lbft("M14x1.25", None, aluminium=False), NotFound)
    words = torque_words(PlugSpec(thread="M14x1.25"), aluminium=False)
    assert "Look whether the plug has a gasket" in words
    assert "N m" not in words


def test_the_engines_own_figure_comes_before_the_table():
    words = torque_words(PlugSpec(thread="M14x1.25", seat=Seat.TAPER, torque_nm=(18.0, 22.0)), aluminium=True)
    assert words == "Torque 18 to 22 N m (the engine's own list)."


def test_what_the_table_does_not_hold_is_not_guessed():
    for spec in (PlugSpec(), PlugSpec(thread="M8x1.0", seat=Seat.GASKET)):
        words = torque_words(spec, aluminium=True)
        assert "maker's figure" in words
        assert "N m" not in words


def test_an_unknown_head_gets_both_figures():
    words = torque_words(PlugSpec(thread="M14x1.25", seat=Seat.GASKET), aluminium=None)
    assert "20 to 30 N m (15 to 22 lb-ft) in aluminium heads" in words
    assert "35 to 39 N m (26 to 29 lb-ft) in cast-iron heads" in words
