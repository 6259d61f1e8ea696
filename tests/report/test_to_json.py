"""The JSON report: what another program may rely on."""

import json

from plugsight.report import to_json
from plugsight.report.record import REPORT_FORMAT


def test_format_number_and_kind_come_first(report):
    plain = json.loads(to_json(report))
    assert list(plain)[:2] == ["format", "kind"]
    assert plain["format"] == REPORT_FORMAT == 1


def test_units_stand_in_the_names(report):
    first = json.loads(to_json(report))["plugs"][0]
    assert first["photos"][0]["gap_mm"] == 0.83
    assert first["photos"][0]["gap_U95_mm"] == 0.07
    by_kind = {reading["reading"].split(",")[0].split(" ")[0]: reading for reading in first["readings"]}
    assert by_kind["gap"]["value_mm"] == 0.80
    assert by_kind["resistance"]["value_ohm"] == 5200.0
    assert by_kind["insulation"]["over_range_ohm"] == 20e6


def test_decisions_keep_what_was_shown(report):
    plugs = json.loads(to_json(report))["plugs"]
    assert [p["confirmed"]["decision"] for p in plugs] == ["accepted", "decided", "corrected", "can't tell"]
    assert plugs[1]["confirmed"]["shown"]["blind"] is True
    assert plugs[2]["confirmed"]["shown"]["suggested"] == ["wet oil", "ash"]
    assert [p["verdict"]["action"] for p in plugs] == ["refit", "replace", "cause_first", "not_decided"]


def test_no_probability_leaves_the_house(report):
    causes = json.loads(to_json(report))["causes"]
    assert [cause["band"] for cause in causes] == ["most likely", "possible", "unlikely"]
    assert all("probability" not in cause for cause in causes)
