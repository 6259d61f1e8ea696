"""Facts are saved as they are made, unusable ones refused with the reason."""

import pytest

from plugsight.page.number_groups import read_groups, write_groups
from plugsight.vocabulary.engine import Ignition
from plugsight.vocabulary.errors import InputError


def test_a_touch_is_saved_at_once(page):
    app = page.open("engine")
    app.pills(key="ignition").set_value("coil on plug").run()
    assert page.now().engine.ignition is Ignition.COIL_ON_PLUG
    app.pills(key="ignition").set_value(None).run()
    assert page.now().engine.ignition is None


def test_gap_from_one_figure_then_two(page):
    app = page.open("engine")
    app.number_input(key="gap_high").set_value(0.9).run()
    assert page.now().spec.gap_mm == (0.75, 0.9)
    app.number_input(key="gap_low").set_value(0.95).run()
    assert page.now().spec.gap_mm == (0.95, 0.95)


def test_codes_and_trims_as_people_write_them(page):
    app = page.open("engine")
    app.text_input(key="codes").set_value("p0302, P0171").run()
    app.text_input(key="long_trim").set_value("+12,5").run()
    assert page.now().context.codes == ("P0302", "P0171")
    assert page.now().context.long_trim_percent == (12.5,)


def test_the_meter_at_hand_is_described(page):
    app = page.open("engine")
    app.pills(key="auto_ranging").set_value("by itself (auto-ranging)").run()
    app.text_input(key="ranges_ohm").set_value("400 ohm, 40k, 40M").run()
    app.number_input(key="meter_counts").set_value(5).run()
    meter = page.now().meter
    assert (meter.auto_ranging, meter.ranges_ohm, meter.counts) == (True, (400.0, 40e3, 40e6), 5)
    app.text_input(key="ranges_ohm").set_value("all").run()
    assert app.error
    assert page.now().meter.ranges_ohm == (400.0, 40e3, 40e6)


def test_unusable_entry_is_refused_with_the_remedy(page):
    app = page.open("engine")
    app.text_input(key="long_trim").set_value("rich").run()
    assert "Write them like" in app.error[0].value
    assert page.now().context.long_trim_percent == ()
    app.text_input(key="list-firing_order").set_value("1-7").run()
    assert app.error
    assert page.now().engine.firing_order == ()


def test_somebody_elses_entry_is_not_overwritten(page):
    app = page.open("engine")
    page.book.set_facts(page.now(), spec=page.now().spec.__class__("M12x1.25"))
    app.pills(key="ignition").set_value("magneto").run()
    assert page.now().spec.thread == "M12x1.25"
    assert page.now().engine.ignition is Ignition.MAGNETO


@pytest.mark.parametrize("text", ["1 3 5 | 2 4 6", "1,3,5;2,4,6", "1-3-5 | 2-4-6"])
def test_cylinder_numbers_in_groups(text):
    assert read_groups(text, "banks") == ((1, 3, 5), (2, 4, 6))
    assert write_groups(read_groups(text, "banks")) == "1 3 5 | 2 4 6"


def test_cylinder_numbers_must_be_whole():
    with pytest.raises(InputError, match="whole numbers"):
        read_groups("1 x", "banks")
