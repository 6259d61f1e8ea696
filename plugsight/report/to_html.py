"""The report as one self-contained HTML page: pictures inside, no scripts, nothing fetched."""

import base64
from io import BytesIO

import numpy as np
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from numpy.typing import NDArray
from PIL import Image

from plugsight.causes.record import Band
from plugsight.report.cause_bands import band_mark
from plugsight.report.draw_svg import to_svg
from plugsight.report.drawing import Drawing
from plugsight.report.facts import engine_facts, job_facts, spec_facts
from plugsight.report.gap_chart import gap_chart, gap_points
from plugsight.report.nose_swatches import nose_swatches
from plugsight.report.plug_lines import plug_lines
from plugsight.report.plug_words import check_done, repair_lines
from plugsight.report.record import PlugRow, Report
from plugsight.report.signs import sign
from plugsight.report.sources import sources_of
from plugsight.report.summary import (
    INVENTED_MARK,
    all_cautions,
    all_steps,
    causes_lead,
    how_known,
    repair_first,
    standing_causes,
    verdict_groups,
)
from plugsight.verdict.record import Action


def to_html(report: Report) -> str:
    """Return the report as an HTML document; every word from outside is escaped."""
    sources = sources_of(report)
    pages = Environment(
        loader=PackageLoader("plugsight.report", "."), autoescape=True, undefined=StrictUndefined
    )
    return pages.get_template("report.html.j2").render(
        report=report,
        invented_mark=INVENTED_MARK,
        logo=_uri(report.shop.logo_png, "png") if report.shop.logo_png else "",
        columns=(
            ("Job", job_facts(report)),
            ("Engine", engine_facts(report.engine)),
            ("Plugs asked for", spec_facts(report.spec)),
        ),
        groups=verdict_groups(report),
        first=repair_first(report),
        gap_chart=_inline(gap_chart(gap_points(report.plugs), report.spec)),
        swatches=_inline(nose_swatches(report.plugs)),
        plugs=[(row, plug_lines(row, sources), _pictures(row)) for row in report.plugs],
        causes=standing_causes(report),
        causes_lead=causes_lead(report),
        done=[check_done(outcome) for outcome in report.checks_done],
        closing=(
            ("After the repair", repair_lines(report.repair) if report.repair else ()),
            ("Cleaning, gap and refit", all_steps(report)),
            ("Cautions", all_cautions(report)),
        ),
        known=how_known(report),
        sources=sources,
        sign=_sign,
        band=_band,
    )


def _inline(drawing: Drawing) -> Markup:
    return Markup(to_svg(drawing))  # noqa: S704 (to_svg escapes every text and colour it is given)


def _sign(action: Action) -> Markup:
    return _inline(sign(action))


def _band(band: Band) -> Markup:
    return _inline(band_mark(band))


def _pictures(row: PlugRow) -> list[tuple[str, str, str]]:
    """Return source, alternative text and caption of every picture there is."""
    placed = []
    for picture in row.pictures:
        pair = ((picture.picture, "upright, light by the card"), (picture.overlay, "parts and gap as found"))
        for pixels, words in pair:
            if pixels is not None:
                placed.append((_photo(pixels), f"plug {row.place}, {picture.caption}: {words}", words))
    return placed


def _photo(pixels: NDArray[np.uint8]) -> str:
    picture, file = Image.fromarray(pixels), BytesIO()
    picture.thumbnail((480, 480))
    picture.save(file, "JPEG", quality=88)
    return _uri(file.getvalue(), "jpeg")


def _uri(data: bytes, kind: str) -> str:
    return f"data:image/{kind};base64,{base64.b64encode(data).decode()}"
