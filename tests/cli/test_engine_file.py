"""The engine file: read as written, or every problem named at once."""

from pathlib import Path

import pytest

from plugsight.cli.demo_command import DEMO
from plugsight.cli.engine_file import ManyProblems, read_engine_file
from plugsight.readings import ReadingKind
from plugsight.vocabulary.bench import BenchFinding, BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Cooling, Fuel, Place, Seat
from plugsight.vocabulary.errors import InputError

HEAD = '[engine]\nname = "e"\ncylinders = 2\n'


def _file(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "engine.toml"
    path.write_text(text)
    return path


def _problems(tmp_path: Path, text: str) -> list[str]:
    with pytest.raises((InputError, ManyProblems)) as caught:
        read_engine_file(_file(tmp_path, text))
    lines = str(caught.value).splitlines()
    assert all(line.startswith("engine.toml") for line in lines)
    return lines


def test_demo_file_says_what_is_written_in_it() -> None:
    file = read_engine_file(DEMO)
    assert file.invented
    assert (file.engine.cylinders, file.engine.cooling, file.engine.fuel) == (4, Cooling.LIQUID, Fuel.PETROL)
    assert (file.spec.thread, file.spec.seat, file.spec.gap_mm) == ("M14x1.25", Seat.GASKET, (0.8, 1.0))
    assert not file.spec.gap_tolerance_from_memory
    assert file.meter.ranges_ohm == (200.0, 2e3, 20e3, 200e3, 2e6, 20e6)
    assert file.context.codes == ("P0303",)
    assert [p.place for p in file.plugs] == [Place(n) for n in (1, 2, 3, 4)]
    third = file.plugs[2]
    assert third.decision is not None
    assert third.decision.deposits == (Deposit.WET_OIL,)
    assert third.decision.who == "A. Example"
    assert BenchFinding(BenchQuestion.WIPE, "oily smear") in third.bench
    again = [r for r in third.readings if r.after_cleaning]
    assert [(r.kind, r.text) for r in again] == [(ReadingKind.INSULATION, "OL")]
    assert all(photo.path.is_file() for plug in file.plugs for photo in plug.photos)
    assert Damage.WORN_ELECTRODES in (file.plugs[1].decision or third.decision).damage


def test_least_file_needs_only_name_and_cylinders(tmp_path: Path) -> None:
    file = read_engine_file(_file(tmp_path, HEAD))
    assert (file.engine.name, file.plugs, file.spec.gap_mm, file.invented) == ("e", (), None, False)


def test_one_figure_for_the_gap_gets_the_tolerance_from_memory(tmp_path: Path) -> None:
    spec = read_engine_file(_file(tmp_path, HEAD + '[plug]\ngap = "0.75 mm"\n')).spec
    assert spec.gap_mm == pytest.approx((0.70, 0.80))
    assert spec.gap_tolerance_from_memory


def test_twin_plugs_are_placed_by_position(tmp_path: Path) -> None:
    text = HEAD + 'positions = ["top", "bottom"]\n[[plugs]]\ncylinder = 2\nposition = "top"\ngap = "0.8 mm"\n'
    (plug,) = read_engine_file(_file(tmp_path, text)).plugs
    assert plug.place == Place(2, "top")
    assert [(r.kind, r.text, r.electrode) for r in plug.readings] == [(ReadingKind.GAUGE, "0.8 mm", 1)]


def test_gap_of_several_ground_electrodes(tmp_path: Path) -> None:
    text = HEAD + '[plug]\nground_electrodes = 2\n[[plugs]]\ncylinder = 1\ngap = ["0.8 mm", "0.9 mm"]\n'
    (plug,) = read_engine_file(_file(tmp_path, text)).plugs
    assert [(r.text, r.electrode) for r in plug.readings] == [("0.8 mm", 1), ("0.9 mm", 2)]


@pytest.mark.parametrize(
    ("text", "place", "rule", "remedy"),
    [
        ("[engine]\ncylinders = 2\n", "engine > name", "missing", "README"),
        (HEAD + "cylindres = 2\n", "engine > cylindres", "unknown key", "Did you mean 'cylinders'?"),
        (HEAD + '[plug]\ngapp = "1 mm"\n', "plug > gapp", "unknown key", "Did you mean 'gap'?"),
        (HEAD + 'fuel = "petroll"\n', "engine > fuel", "unknown fuel", "Did you mean 'petrol'?"),
        (HEAD + '[plug]\nthread = "M14x1.5"\n', "plug > thread", "unknown thread", "M14x1.25"),
        (HEAD + '[plug]\ngap = "5 kOhm"\n', "plug > gap", "a length in mm or inches", "0.75 mm"),
        (HEAD + "[[plugs]]\ncylinder = 3\n", "plug 3", "cylinders 1 to 2 (seen: 3)", "Correct the number"),
        (HEAD + "[[plugs]]\ncylinder = 1\n[[plugs]]\ncylinder = 1\n", "plug 1", "more than once", "Keep one"),
        (
            HEAD + '[[plugs]]\ncylinder = 1\nposition = "top"\n',
            "plug 1 top",
            "no such plug position",
            "one plug a cylinder",
        ),
        (
            'who = "x"\n' + HEAD + '[[plugs]]\ncylinder = 1\n[plugs.decision]\ndeposits = ["dry carbn"]\n',
            "plug 1 > decision > deposits",
            "unknown deposit (seen: dry carbn)",
            "Did you mean 'dry carbon'?",
        ),
        (
            HEAD + '[[plugs]]\ncylinder = 1\n[plugs.decision]\ndeposits = ["ash"]\n',
            "plug 1 > decision",
            "needs the name of the person",
            "who =",
        ),
        (
            'who = "x"\n' + HEAD + "[[plugs]]\ncylinder = 1\n[plugs.decision]\n",
            "plug 1 > decision",
            "names no deposit",
            "cant_tell = true",
        ),
        (HEAD + '[[plugs]]\ncylinder = 1\ngap = "5 kOhm"\n', "plug 1, gap", "seen: 5 kOhm", "mm"),
        (HEAD + '[[plugs]]\ncylinder = 1\nresistance = "0.8 mm"\n', "plug 1, resistance", "in ohm", "6.77k"),
        (
            HEAD + "[[plugs]]\ncylinder = 1\ngap = 0.8\n",
            "plug 1 > gap",
            "text in quotes",
            "with quotes and unit",
        ),
        (
            HEAD + '[[plugs]]\ncylinder = 1\nphotos = ["none.jpg"]\n',
            "plug 1 > photos",
            "no such file",
            "relative to the engine file",
        ),
        (
            HEAD + '[[plugs]]\ncylinder = 1\n[plugs.bench]\nwhipe = "dry soot"\n',
            "plug 1 > bench",
            "unknown bench question 'whipe'",
            "Did you mean 'wipe'?",
        ),
        (
            HEAD + '[[plugs]]\ncylinder = 1\n[plugs.bench]\nwipe = "black"\n',
            "plug 1 > bench",
            "can't be answered with 'black'",
            "dry soot",
        ),
        (HEAD + '[before]\noil_use = "lots"\n', "before > oil_use", "not one of the choices", "'much'"),
        (
            HEAD + '[before]\ncomplaints = ["misfires"]\n',
            "before > complaints",
            "unknown complaint",
            "'misfire'",
        ),
        (HEAD + "firing_order = [1, 1]\n", "firing", "", "."),
        (HEAD + "[meter]\nranges = []\n", "meter", "ohm ranges", "List the ranges"),
        (HEAD + '[before]\nnot_compared = ["7"]\n', "not compared", "", "."),
        (HEAD + "turbo = 1\n", "engine > turbo", "boolean", "Correct it"),
        (HEAD + 'name = "twice"\n', "engine.toml", "not valid TOML", "Correct that line"),
        ("format = 2\n" + HEAD, "engine.toml", "format 2 is newer", "Update plugsight"),
    ],
)
def test_each_problem_names_place_rule_and_remedy(
    tmp_path: Path, text: str, place: str, rule: str, remedy: str
) -> None:
    (line,) = _problems(tmp_path, text)
    assert place in line
    assert rule in line
    assert remedy in line


def test_all_problems_are_named_at_once(tmp_path: Path) -> None:
    text = HEAD + 'fuel = "petroll"\n[plug]\ngap = "1 kOhm"\n[before]\noil_use = "lots"\n'
    assert len(_problems(tmp_path, text)) == 3
    text = HEAD + '[[plugs]]\ncylinder = 7\nphotos = ["none.jpg"]\n[before]\nnot_compared = ["left"]\n'
    assert len(_problems(tmp_path, text)) == 3


@pytest.mark.parametrize("data", [b"\xff\xfe\x00", b"name = \x00", b"[" * 5000, b"x" * 1_000_001])
def test_what_is_no_text_file_is_said(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "engine.toml"
    path.write_bytes(data)
    with pytest.raises(InputError, match=r"engine\.toml"):
        read_engine_file(path)


def test_missing_file_is_said(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="can't be read"):
        read_engine_file(tmp_path / "none.toml")
