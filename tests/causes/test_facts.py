import pytest

from plugsight.causes.codes import parse_code
from plugsight.causes.facts import check_engine
from plugsight.vocabulary.engine import Context, Cooling, EngineFacts, Ignition, Place, Stroke
from plugsight.vocabulary.errors import InputError

V6 = EngineFacts("made up", 6, banks=((1, 3, 5), (2, 4, 6)), firing_order=(1, 2, 3, 4, 5, 6))


def refused(engine=V6, context=Context()):  # noqa: B008
    with pytest.raises(InputError) as error:
        check_engine(engine, context)
    return str(error.value)


@pytest.mark.parametrize(
    ("engine", "context"),
    [
        (EngineFacts("little known", 4), Context()),
        (V6, Context(long_trim_percent=(1.0, -2.0), codes=("p0302",), not_compared=(Place(2),))),
        (EngineFacts("rotary", 2, stroke=Stroke.ROTARY, positions=("leading", "trailing")), Context(not_compared=(Place(1, "leading"),))),
        (EngineFacts("pairs", 4, ignition=Ignition.WASTED_SPARK, coil_pairs=((1, 4), (2, 3))), Context(odometer_km=1, km_on_plugs=1)),
        (EngineFacts("one", 1), Context(complaints=("misfire", "hard start"), last_run="idled", oil_use="much")),
        (EngineFacts("most", 16), Context()),
    ],
)  # fmt: skip
def test_what_agrees_is_accepted(engine, context):
    check_engine(engine, context)


@pytest.mark.parametrize(
    ("engine", "says"),
    [
        (EngineFacts("x", 0), "1 to 16"),
        (EngineFacts("x", 17), "1 to 16"),
        (EngineFacts("x", 4, positions=()), "positions"),
        (EngineFacts("x", 4, positions=("top", "top")), "positions"),
        (EngineFacts("x", 4, positions=("", "top")), "needs a name"),
        (EngineFacts("x", 4, banks=((1, 2), (3,))), "banks"),
        (EngineFacts("x", 4, banks=((1, 2), (2, 3, 4))), "banks"),
        (EngineFacts("x", 4, banks=((1, 2, 3, 4), ())), "none may be empty"),
        (EngineFacts("x", 4, rows=((1, 2, 3),)), "rows"),
        (EngineFacts("x", 4, firing_order=(1, 3, 4)), "firing order"),
        (EngineFacts("x", 4, firing_order=(1, 3, 4, 5)), "firing order"),
        (EngineFacts("x", 4, coil_pairs=((1, 1), (2, 3))), "coil pairs"),
        (EngineFacts("x", 4, coil_pairs=((1, 5),)), "coil pairs"),
        (EngineFacts("x", 4, ignition=Ignition.COIL_ON_PLUG, coil_pairs=((1, 4),)), "only a wasted-spark"),
        (EngineFacts("x", 4, near_intake_joint=(5,)), "near intake joint"),
        (EngineFacts("x", 4, cooling=Cooling.AIR, far_from_pump=(4,)), "no pump"),
    ],
)
def test_engine_facts_that_contradict_are_refused(engine, says):
    assert says in refused(engine)


@pytest.mark.parametrize(
    ("context", "says"),
    [
        (Context(complaints=("misfires",)), "Did you mean 'misfire'?"),
        (Context(complaints=("xyzzy",)), "Use one of"),
        (Context(last_run="idle"), "Did you mean 'idled'?"),
        (Context(oil_use="lots"), "none, some, much"),
        (Context(km_on_plugs=-1), "zero or more"),
        (Context(hours_on_plugs=float("nan")), "zero or more"),
        (Context(km_on_plugs=2000, odometer_km=1000), "odometer"),
        (Context(codes=("303",)), "Write it like P0302"),
        (Context(short_trim_percent=(1.0, 2.0, 3.0)), "one trim a bank, and there are 2"),
        (Context(long_trim_percent=(120.0,)), "-100 and 100"),
        (Context(not_compared=(Place(7),)), "no such plug"),
        (Context(not_compared=(Place(1, "top"),)), "no such plug"),
    ],
)
def test_circumstances_that_can_not_be_are_refused(context, says):
    assert says in refused(context=context)


def test_coolant_in_an_air_cooled_engine_is_refused():
    assert "no coolant" in refused(EngineFacts("x", 1, cooling=Cooling.AIR), Context(coolant_use="some"))


def test_all_errors_are_listed_at_once():
    said = refused(
        EngineFacts("x", 4, firing_order=(1,), rows=((1,),)), Context(oil_use="lots", codes=("303",))
    )
    assert "4 fields can't be right" in said
    for word in ("firing order", "rows", "oil use", "trouble code"):
        assert word in said


@pytest.mark.parametrize("text", ["", "303", "P03", "P03022", "X0302", "P0G02", "P4302"])
def test_what_is_no_code_is_refused(text):
    with pytest.raises(InputError, match="P0302"):
        parse_code(text)


def test_case_and_blanks_do_not_matter():
    assert parse_code(" p0302 ").text == "P0302"
