"""A whole engine from one file: saved, resumed, decided, reported."""

import json
import re
from collections.abc import Callable
from pathlib import Path

from typer.testing import Result

from plugsight.casebook import Casebook
from plugsight.confirmation import Decision
from plugsight.flow import Inspection
from plugsight.store import Store
from plugsight.vocabulary.engine import Place

Run = Callable[..., Result]
Write = Callable[..., Path]

DECIDED = '[plugs.decision]\ndeposits = ["light"]\n'
DONE = f'[[plugs]]\ncylinder = 1\ngap = "0.75 mm"\n{DECIDED}[[plugs]]\ncylinder = 2\n{DECIDED}'


def _inspection(tmp_path: Path) -> Inspection:
    with Store.open(tmp_path / "store") as store:
        (one,) = store.recent()
        return Casebook(store).load(one.id)


def test_undecided_plugs_are_named_and_nothing_is_concluded(run: Run, write: Write, tmp_path: Path) -> None:
    result = run("engine", write('[[plugs]]\ncylinder = 1\ngap = "0.75 mm"\n'), "--no-ask")
    assert result.exit_code == 3
    assert "Nobody has decided plug 1, 2" in result.output
    assert "Causes" not in result.output
    assert not list(tmp_path.glob("*report*"))
    kept = _inspection(tmp_path)
    assert kept.id in result.output
    assert [e.text for e in kept.plug(Place(1)).entries] == ["0.75 mm"]
    assert kept.invented


def test_report_is_written_when_every_plug_is_decided(run: Run, write: Write, tmp_path: Path) -> None:
    result = run("engine", write(DONE), "--out", tmp_path / "out", "--no-ask")
    # The lens test and others were not answered, so no plug may be refitted: a person must look.
    assert result.exit_code == 3
    assert "not decided" in result.output
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == [
        "report.html",
        "report.json",
        "report.pdf",
    ]
    assert (tmp_path / "out" / "report.pdf").read_bytes().startswith(b"%PDF-")
    report = json.loads((tmp_path / "out" / "report.json").read_text())
    assert report["engine"]["name"] == "Invented twin"


def test_going_on_adds_only_what_is_new(run: Run, write: Write, photos: Path, tmp_path: Path) -> None:
    photo = f'photos = ["{photos / "1_side.jpg"}"]\n'
    first = '[[plugs]]\ncylinder = 1\ngap = "0.75 mm"\n' + photo + '[plugs.bench]\nsmell = "nothing"\n'
    run("engine", write(first), "--no-ask")
    before = _inspection(tmp_path)
    again = run("engine", write(first), "--inspection", before.id, "--no-ask")
    assert again.exit_code == 3
    assert _inspection(tmp_path).version == before.version
    result = run(
        "engine", write(first + DECIDED + f"[[plugs]]\ncylinder = 2\n{DECIDED}"), "--inspection", before.id
    )
    assert "What becomes of each plug" in result.output
    after = _inspection(tmp_path)
    assert len(after.plug(Place(1)).photos) == 1
    assert [len(p.confirmations) for p in after.plugs] == [1, 1]


def test_decision_of_a_file_is_made_by_its_who(run: Run, write: Write, tmp_path: Path) -> None:
    other = '[[plugs]]\ncylinder = 1\n[plugs.decision]\ncant_tell = true\nwho = "B. Other"\n'
    run("engine", write(other + f"[[plugs]]\ncylinder = 2\n{DECIDED}"), "--no-ask")
    kept = _inspection(tmp_path)
    assert [p.confirmations[-1].who for p in kept.plugs] == ["B. Other", "A. Tester"]
    assert kept.plug(Place(1)).confirmations[-1].decision is Decision.CANT_TELL


def test_each_step_of_a_saved_inspection(run: Run, write: Write, photos: Path, tmp_path: Path) -> None:
    run("engine", write(""), "--no-ask")
    case = _inspection(tmp_path).id
    assert run("photo", case, "1", photos / "1_side.jpg").exit_code == 0
    assert run("reading", case, "1", "--gap", "0.76 mm", "--insulation", "OL").exit_code == 0
    refused = run("decide", case, "1", "--deposit", "wet oyl", "--who", "A. Tester")
    assert (refused.exit_code, "Did you mean 'wet oil'?" in refused.output) == (2, True)
    nobody = run("decide", case, "1", "--deposit", "light")
    assert (nobody.exit_code, "needs the name" in nobody.output) == (2, True)
    done = run("decide", case, "1", "--deposit", "light", "--bench", "lens=no crack", "--who", "A. Tester")
    assert done.exit_code == 0
    assert run("conclude", case).exit_code == 3
    assert run("decide", case, "2", "--cant-tell", "--who", "A. Tester").exit_code == 0
    concluded = run("conclude", case)
    assert "What becomes of each plug" in concluded.output
    assert run("report", case, "--out", tmp_path / "r", "--shop", "Invented shop").exit_code in {0, 3}
    assert "Invented shop" in (tmp_path / "r" / "report.html").read_text()
    assert run("repair", case, "plugs renewed", "--complaint-gone").exit_code == 0
    assert "None yet" in run("list", "--open").output
    listed = run("list").output
    assert case in listed
    assert str(tmp_path / "store" / "plugsight.sqlite") in listed
    assert "0.76 mm" in run("history", "Invented twin").output
    kept = _inspection(tmp_path)
    assert kept.repairs[-1].complaint_gone
    assert len(kept.plug(Place(1)).photos) == 1


def test_a_plug_the_engine_does_not_have_is_told(run: Run, write: Write, tmp_path: Path) -> None:
    run("engine", write(""), "--no-ask")
    result = run("decide", _inspection(tmp_path).id, "5", "--deposit", "light", "--who", "x")
    assert (result.exit_code, "It has: 1, 2." in result.output) == (2, True)


def test_readings_are_asked_for_with_the_range_to_set(run: Run, write: Write, tmp_path: Path) -> None:
    # A gap that no gauge shows is asked for again; continuity is left out.
    run("engine", write(""), "--no-ask")
    case = _inspection(tmp_path).id
    result = run("reading", case, "1", "--ask", typed="9 mm\n0.75 mm\n5.2k\n\nOL\n")
    assert result.exit_code == 0
    assert "Set the 20 kOhm range" in result.output  # 4 to 8 kOhm expected: the 20 k range (common practice)
    assert "Set the 20 MOhm range" in result.output  # highest ohm range of the usual meter (common practice)
    assert [e.text for e in _inspection(tmp_path).plug(Place(1)).entries] == ["0.75 mm", "5.2k", "OL"]


def test_without_a_person_the_readings_are_told_and_none_is_saved(
    run: Run, write: Write, tmp_path: Path
) -> None:
    run("engine", write(""), "--no-ask")
    result = run("reading", _inspection(tmp_path).id, "1", "--no-ask")
    assert result.exit_code == 2
    assert "Set the 20 kOhm range" in result.output
    assert "no reading was given" in result.output
    assert _inspection(tmp_path).plug(Place(1)).entries == ()


def test_unreadable_reading_saves_none_of_them(run: Run, write: Write, tmp_path: Path) -> None:
    run("engine", write(""), "--no-ask")
    case = _inspection(tmp_path).id
    result = run("reading", case, "1", "--gap", "0.8 mm", "--resistance", "0.8 mm")
    assert result.exit_code == 2
    assert _inspection(tmp_path).plug(Place(1)).entries == ()


def test_asking_takes_no_answer_for_granted(run: Run, write: Write, tmp_path: Path) -> None:
    # Enter alone; then light; no damage; six bench questions left open; then can't tell.
    typed = "\nlight\nnone\n\n\n\n\n\n\n?\n"
    result = run("engine", write(""), "--ask", typed=typed)
    assert "Enter alone decides nothing" in result.output
    kept = _inspection(tmp_path)
    first, second = (p.confirmations[-1] for p in kept.plugs)
    assert (first.deposits, first.who) == (("light",), "A. Tester")
    assert len(first.damage_absent) > 5
    assert second.decision is Decision.CANT_TELL
    assert re.search(r"Report: .*report\.pdf", result.output)


def test_backup_restore_and_verify(run: Run, write: Write, tmp_path: Path) -> None:
    run("engine", write(DONE), "--no-ask")
    case = _inspection(tmp_path).id
    assert run("backup", tmp_path / "b.zip").exit_code == 0
    assert run("restore", tmp_path / "b.zip", "--store", tmp_path / "new").exit_code == 0
    assert "The store is whole." in run("verify", "--store", tmp_path / "new").output
    assert case in run("list", "--store", tmp_path / "new").output
    assert run("restore", tmp_path / "b.zip").exit_code == 2
