"""Six made-up engines, from the command line: an answer a foreman would sign (common practice, no source)."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from plugsight.cli.main import app

ENGINES = Path(__file__).parent / "engines"


@pytest.fixture(scope="module")
def answer(tmp_path_factory):
    """Run one engine file; (exit code, what was printed, the report as read from its JSON)."""
    done = {}

    def run(name):
        if name not in done:
            folder = tmp_path_factory.mktemp(name)
            arguments = [
                "engine",
                str(ENGINES / f"{name}.toml"),
                "--no-ask",
                "--store",
                str(folder / "store"),
            ]
            result = CliRunner().invoke(app, [*arguments, "--out", str(folder)])
            assert result.exit_code in (0, 3), result.output
            done[name] = (
                result.exit_code,
                result.output,
                json.loads((folder / "report.json").read_text("utf-8")),
            )
        return done[name]

    return run


def actions(report):
    return {
        f"{p['place']['cylinder']} {p['place']['position']}".strip(): p["verdict"]["action"]
        for p in report["plugs"]
    }


def leading(report, band="most likely"):
    return [(c["id"], tuple(c["cylinders"])) for c in report["causes"] if c["band"] == band]


def first_checks(report, count=3):
    return [(c["id"], c["cylinder"]) for c in report["next_checks"][:count]]


def test_one_oily_plug(answer):
    code, output, report = answer("one_oily_plug")
    assert code == 0
    printed = " ".join(output.split())
    assert (
        "Repair first - oil-control ring worn or stuck (cylinder 3): Measure dry and wet compression"
        in printed
    )
    assert "Plugs are usually replaced as a set" in printed
    assert actions(report) == {"1": "refit", "2": "refit", "3": "replace", "4": "refit"}
    assert leading(report) == [("oil_ring", (3,))]
    assert "rings" in report["repair_first"][0]
    # rings are proved by dry and wet compression before anything is opened; the smoke was watched already
    assert {("compression", 3), ("borescope", 3)} == {*first_checks(report)}


def test_a_sooty_set(answer):
    code, output, report = answer("sooty_set")
    assert code == 0
    assert {*actions(report).values()} == {"clean"}
    assert not report["causes_separable"]
    assert {("carburettor_rich", (1, 2, 3, 4)), ("air_filter", (1, 2, 3, 4))} <= {
        *leading(report, "possible")
    }
    assert "air_filter_look" in [check for check, _ in first_checks(report)]
    assert "Nothing stands out yet" in output
    assert "Hybrid" not in output  # a carburettor and a distributor


def test_a_hot_bank(answer):
    code, _, report = answer("hot_bank")
    assert code == 0
    assert actions(report) == {str(c): "cause_first" if c % 2 else "refit" for c in range(1, 7)}
    assert leading(report) == [("intake_leak", (1, 3, 5))]
    assert "intake_smoke" in [check for check, _ in first_checks(report)]
    assert any("No load" in step for step in report["plugs"][1]["verdict"]["steps"])


def test_a_dead_insulator(answer):
    code, output, report = answer("dead_insulator")
    assert code == 0
    printed = " ".join(output.split())
    assert "Less likely then, though still first: the plug itself failed (cylinder 2)" in printed
    assert "Possible besides: ignition coil weak or dead (cylinder 2)" in printed
    assert actions(report) == {"1": "refit", "2": "replace", "3": "refit", "4": "refit"}
    assert leading(report) == [("plug_fault", (2,))]


def test_a_two_stroke_single(answer):
    code, output, report = answer("two_stroke_single")
    assert code == 0
    assert actions(report) == {"1": "cause_first"}
    assert leading(report) == [("ts_air_leak", (1,))]
    assert "crankcase_pressure" in [check for check, _ in first_checks(report)]
    assert not any(c["id"].startswith("valve") for c in report["causes"])
    assert "seize" in output.partition("Cautions")[2]


def test_an_aircraft_engine(answer):
    code, output, report = answer("aircraft")
    assert code in (0, 3)
    assert {*actions(report).values()} == {"findings_only"}
    assert {"leaded_fuel", "lead_cold_rich"} & {name for name, _ in leading(report)}
    assert "licensed person" in output
    dropped = next(p for p in report["plugs"] if p["place"] == {"cylinder": 3, "position": "top"})
    assert any("scrap" in why["words"] for why in dropped["verdict"]["reasons"])
    for plug in report["plugs"]:
        assert "refit" not in json.dumps(plug["verdict"]).lower()
