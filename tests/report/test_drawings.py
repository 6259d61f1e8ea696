"""Charts and drawings: where their marks stand, and that both pens draw every shape."""

import re
import shutil
import subprocess

import numpy as np
import pytest
from fpdf import FPDF

from plugsight.causes.record import Band
from plugsight.report import Paper, capture_sheet, photo_help
from plugsight.report.cause_bands import band_mark
from plugsight.report.draw_pdf import draw
from plugsight.report.draw_svg import to_svg
from plugsight.report.drawing import Box, Disc, Drawing, Ink, Label, Line, Path, moved
from plugsight.report.gap_chart import GapPoint, gap_chart, gap_points
from plugsight.report.nose_swatches import nose_swatches
from plugsight.report.signs import sign
from plugsight.report.swatch_colour import hex_of_lab
from plugsight.verdict.record import Action
from plugsight.vocabulary.engine import Place, PlugSpec

SPEC = PlugSpec(gap_mm=(0.75, 0.85))


def test_gap_chart_is_to_scale():
    points = (GapPoint(Place(1), (0.80, 0.10), ()), GapPoint(Place(2), None, (1.00,)))
    chart = gap_chart(points, SPEC)
    (ring,) = (s for s in chart.shapes if isinstance(s, Disc) and s.fill is Ink.PAPER and s.x < 60)
    limits = sorted(s.y1 for s in chart.shapes if isinstance(s, Line) and s.dash)
    # 0.80 lies half way between the limits 0.75 and 0.85
    assert ring.y == pytest.approx(sum(limits) / 2)
    mm = (limits[1] - limits[0]) / 0.10
    whisker = next(s for s in chart.shapes if isinstance(s, Line) and s.x1 == s.x2 == ring.x)
    assert abs(whisker.y2 - whisker.y1) == pytest.approx(0.20 * mm)
    diamond = next(
        s for s in chart.shapes if isinstance(s, Path) and s.fill is Ink.ACCENT and s.points[0][0] < 67
    )
    assert np.mean([y for _, y in diamond.points]) == pytest.approx(limits[0] - 0.15 * mm)


def test_gap_chart_without_any_gap_says_so():
    chart = gap_chart((GapPoint(Place(1), None, ()),), PlugSpec())
    assert chart.says == "No gap was measured or gauged."


def test_gap_points_take_latest_gauge_and_best_photo(report):
    points = gap_points(report.plugs)
    assert points[1] == GapPoint(Place(2), (1.04, 0.06), (1.05,))
    assert points[3] == GapPoint(Place(4), None, ())


@pytest.mark.parametrize(
    ("lab", "colour"),
    [
        # CIE: L* 100 is the white point, L* 0 black; sRGB mid grey #777777 has L* 50.03 (IEC 61966-2-1 decode)
        ((100.0, 0.0, 0.0), "#ffffff"),
        ((0.0, 0.0, 0.0), "#000000"),
        ((50.03, 0.0, 0.0), "#777777"),
    ],
)
def test_swatch_colours(lab, colour):
    got, want = (tuple(int(c[k : k + 2], 16) for k in (1, 3, 5)) for c in (hex_of_lab(lab), colour))
    assert got == pytest.approx(want, abs=1)


def test_swatches_name_every_plug(report):
    says = nose_swatches(report.plugs).says
    assert "plug 3 L* 13" in says
    assert "plug 4 not measured" in says


def test_signs_differ_without_colour():
    outlines = {re.sub(r"fill:[^;\"]*|stroke:[^;\"]*", "", to_svg(sign(action))) for action in Action}
    assert len(outlines) == len(Action)


def test_bands_differ_by_filled_blocks():
    filled = [sum(s.fill is Ink.ACCENT for s in band_mark(band).shapes) for band in Band]
    assert filled == [3, 2, 1]


def test_svg_escapes_words():
    page = to_svg(Drawing(10, 10, (Label(0, 5, "<b>&", 8),), 'a "quoted" <word>'))
    assert "<b>" not in page
    assert "&lt;b&gt;&amp;" in page
    assert "&quot;quoted&quot;" in page


def test_moved_shifts_every_kind_of_shape():
    shapes = (Line(0, 0, 1, 1), Path(((0, 0), (1, 1))), Disc(0, 0, 1), Box(0, 0, 1, 1), Label(0, 0, "x"))
    for shape in shapes:
        assert moved(moved(shape, 3, 4), -3, -4) == shape
        assert moved(shape, 3, 4) != shape


def test_pdf_pen_puts_ink_where_the_shape_is(tmp_path):
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm (poppler-utils) is not installed: drawn pages are not looked at")
    pdf = FPDF(unit="mm", format=(50, 50))
    pdf.add_page()
    draw(pdf, Drawing(50, 50, (Box(10, 20, 10, 5, Ink.TEXT), Disc(40, 40, 4, Ink.TEXT)), ""), 0, 0)
    (tmp_path / "a.pdf").write_bytes(bytes(pdf.output()))
    command = ["pdftoppm", "-r", "254", "-gray", "-singlefile", str(tmp_path / "a.pdf"), str(tmp_path / "a")]
    subprocess.run(command, check=True)
    data = (tmp_path / "a.pgm").read_bytes()
    width, height = map(int, data.split(b"\n")[1].split())
    ink = np.frombuffer(data[-width * height :], np.uint8).reshape(height, width) < 100  # 10 pixels per mm
    assert ink[205:245, 105:195].all()
    assert ink[400, 400]
    assert ink.sum() == pytest.approx(100 * 50 + np.pi * 40**2, rel=0.02)


def test_help_steps_have_words_and_drawings():
    steps = photo_help()
    assert len(steps) == 6
    for step in steps:
        assert step.words.endswith(".")
        assert "<svg" in to_svg(step.drawing)


@pytest.mark.parametrize("paper", list(Paper))
def test_capture_sheet_is_one_page_and_repeatable(paper):
    pdf = capture_sheet(paper=paper, cylinders=6)
    assert pdf == capture_sheet(paper=paper, cylinders=6)
    assert len(re.findall(rb"/Type /Page\b(?!s)", pdf)) == 1


def test_capture_sheet_says_printed_grey_is_no_reference():
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is not installed: the sheet's text is not read back")
    text = subprocess.run(
        ["pdftotext", "-layout", "-", "-"],
        input=capture_sheet(),
        capture_output=True,
        check=True,
    ).stdout.decode()
    assert "Printed grey is not a reference" in text
