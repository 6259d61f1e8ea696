"""The report as JSON for other programs: numbers with their unit in the name, pictures by digest."""

import json
from dataclasses import asdict
from typing import Any

from plugsight.causes.record import RankedCause
from plugsight.confirmation.record import Confirmation
from plugsight.readings.record import Reading, ReadingKind
from plugsight.report.record import REPORT_FORMAT, PlugPicture, PlugRow, Report
from plugsight.report.summary import repair_first

Plain = dict[str, Any]


def to_json(report: Report) -> str:
    """Return the report as indented JSON text (UTF-8, no NaN). Photos are named by the SHA-256 of their file."""
    plain: Plain = {
        "format": REPORT_FORMAT,
        "kind": "plugsight report",
        "inspection": report.inspection,
        "made": report.made,
        "made_by": report.who,
        "invented": report.invented,
        "honesty": report.honesty,
        "version": report.version,
        "model_digest": report.model_digest,
        "shop": {"name": report.shop.name, "contact": report.shop.contact},
        "engine": asdict(report.engine),
        "plug_spec": asdict(report.spec),
        "context": asdict(report.context),
        "plugs": [_plug(row) for row in report.plugs],
        "repair_first": repair_first(report),
        "causes": [_cause(cause) for cause in report.causes.ranked],
        "causes_separable": report.causes.separable,
        "causes_left_out_share": report.causes.left_out,
        "remarks": report.causes.remarks,
        "checks_done": [asdict(outcome) for outcome in report.checks_done],
        "next_checks": [asdict(check) for check in report.checks.items],
        "next_checks_stop": report.checks.stop,
        "next_checks_remarks": report.checks.remarks,
        "repair": None if report.repair is None else asdict(report.repair),
        "cautions": report.cautions,
        "previous": report.previous,
    }
    return json.dumps(plain, ensure_ascii=False, allow_nan=False, indent=2)


def _plug(row: PlugRow) -> Plain:
    verdict = row.verdict
    return {
        "place": asdict(row.place),
        "photos": [_photo(picture) for picture in row.pictures],
        "confirmed": _confirmed(row.confirmation),
        "readings": [_reading(reading) for reading in row.readings],
        "verdict": {
            "action": verdict.action.name.lower(),
            "words": verdict.action.words,
            "reasons": [
                {"action": why.action.name.lower(), "words": why.words, "source": why.source}
                for why in verdict.reasons
            ],
            "look_at": verdict.look_at,
            "repair_first": verdict.repair_first,
            "steps": verdict.steps,
            "cautions": verdict.cautions,
            "gap_words": verdict.gap_words,
        },
    }


def _photo(picture: PlugPicture) -> Plain:
    return {
        "caption": picture.caption,
        "sha256": picture.photo_digest,
        "gap_mm": picture.gap_mm,
        "gap_U95_mm": picture.gap_U_mm,
        "gap_words": picture.gap_words,
        "nose_cielab_d65": picture.nose_lab,
        "notes": picture.notes,
    }


def _confirmed(decided: Confirmation) -> Plain:
    return {
        "decision": decided.decision,
        "deposits": decided.deposits,
        "damage": decided.damage,
        "absent": decided.absent,
        "damage_absent": decided.damage_absent,
        "bench": {found.question: found.answer for found in decided.bench},
        "who": decided.who,
        "when": decided.when,
        "note": decided.note,
        "shown": asdict(decided.shown),
    }


def _reading(reading: Reading) -> Plain:
    unit = "mm" if reading.kind is ReadingKind.GAUGE else "ohm"
    return {
        "reading": reading.kind,
        "as_written": reading.text,
        f"value_{unit}": reading.value,
        f"over_range_{unit}": reading.over,
        f"u_{unit}": reading.u,
        "judgement": reading.judgement,
        "words": reading.words,
        "remedy": reading.remedy,
        "final": reading.final,
        "strap": reading.electrode,
        "after_cleaning": reading.after_cleaning,
    }


def _cause(cause: RankedCause) -> Plain:
    # the model's own probability stays inside: a rank and a band are all it can honestly hand over
    return {
        "id": cause.id,
        "name": cause.name,
        "scope": cause.site.scope,
        "cylinders": cause.site.cylinders,
        "band": cause.band,
        "speaks_for": [{"words": why.words, "source": why.source} for why in cause.speaks_for],
        "speaks_against": [{"words": why.words, "source": why.source} for why in cause.speaks_against],
        "repair": cause.repair,
    }
