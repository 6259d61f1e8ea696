"""The README's command: from photos to a report somebody can be handed."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from plugsight.cli.main import app
from plugsight.vocabulary.honesty import RENDERED_ONLY


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Result, Path]:
    folder = tmp_path_factory.mktemp("demo")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(folder / "own"))
        patch.setenv("HOME", str(folder / "own"))
        patch.setenv("COLUMNS", "300")
        patch.delenv("PLUGSIGHT_STORE", raising=False)
        patch.chdir(folder)
        result = CliRunner().invoke(app, ["demo"])
    return result, folder


def test_demo_is_done_and_says_where_its_report_is(demo: tuple[Result, Path]) -> None:
    result, folder = demo
    assert result.exit_code == 0, result.output
    for name in ("report.pdf", "report.html", "report.json"):
        assert str(folder / "demo_report" / name) in result.output
        assert (folder / "demo_report" / name).stat().st_size > 10_000
    assert RENDERED_ONLY in result.output
    assert "invented" in result.output.lower()


def test_own_store_is_left_alone(demo: tuple[Result, Path]) -> None:
    assert not (demo[1] / "own").exists()


def test_report_holds_what_the_engine_file_says(demo: tuple[Result, Path]) -> None:
    report = json.loads((demo[1] / "demo_report" / "report.json").read_text())
    assert report["invented"] is True
    assert report["honesty"] == RENDERED_ONLY
    assert [plug["place"]["cylinder"] for plug in report["plugs"]] == [1, 2, 3, 4]
    # Oil-soaked: replace; worn electrodes: replace; sound and light: refit (common practice, no source).
    assert [plug["verdict"]["action"] for plug in report["plugs"]][:3] == ["refit", "replace", "replace"]
    assert all(plug["photos"] for plug in report["plugs"])
    assert report["causes"]
    assert report["next_checks"]
