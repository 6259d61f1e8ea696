import pytest

from plugsight.readings import READING_STEPS, ReadingKind, range_words
from plugsight.vocabulary.engine import Meter, PlugSpec


def test_every_reading_has_its_steps_in_the_order_of_the_bench():
    assert tuple(READING_STEPS) == tuple(ReadingKind)
    assert all(s.steps and s.write and s.source for s in READING_STEPS.values())


@pytest.mark.parametrize(
    ("kind", "meter", "says"),
    [
        (ReadingKind.RESISTANCE, Meter(), "20 kOhm"),
        (ReadingKind.RESISTANCE, Meter(ranges_ohm=(600.0, 6e3, 60e3)), "60 kOhm"),
        (ReadingKind.RESISTANCE, Meter(ranges_ohm=(200.0, 2e3)), "does not reach"),
        (ReadingKind.RESISTANCE, Meter(auto_ranging=True), "Auto-ranging"),
        (ReadingKind.INSULATION, Meter(), "20 MOhm"),
        (ReadingKind.CONTINUITY, Meter(), "lowest ohm range"),
        (ReadingKind.GAUGE, Meter(), ""),
    ],
)
def test_says_which_range_to_set(kind, meter, says):
    assert says in range_words(kind, PlugSpec(resistor=True), meter)


def test_the_plugs_own_figure_chooses_the_range():
    own = PlugSpec(resistance_ohm=(15e3, 25e3))
    assert "200 kOhm" in range_words(ReadingKind.RESISTANCE, own, Meter())
