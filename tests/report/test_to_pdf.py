"""The PDF: read back with poppler where it stands ready, with fpdf2's own output otherwise."""

import re
import shutil
import subprocess
import zlib
from dataclasses import replace

import pytest

from plugsight.report import Paper, to_pdf
from plugsight.vocabulary.engine import Place


def _streams(pdf: bytes) -> bytes:
    """Every page's drawing orders, unpacked."""
    found = re.findall(rb"stream\n(.*?)\nendstream", pdf, re.DOTALL)
    unpacked = []
    for data in found:
        try:
            unpacked.append(zlib.decompress(data))
        except zlib.error:
            continue
    return b"\n".join(unpacked)


def _pages(pdf: bytes) -> list[str]:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is not installed: the text of the PDF is not read back")
    text = subprocess.run(
        ["pdftotext", "-layout", "-", "-"],
        input=pdf,
        capture_output=True,
        check=True,
    ).stdout.decode()
    return text.rstrip("\f\n").split("\f")


def test_same_report_makes_same_bytes(report):
    assert to_pdf(report) == to_pdf(report)


@pytest.mark.parametrize(
    # ISO 216 A4 and ANSI Letter in points of 1/72 inch
    ("paper", "size"),
    [(Paper.A4, (595.28, 841.89)), (Paper.LETTER, (612.0, 792.0))],
)
def test_paper_sizes(report, paper, size):
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", to_pdf(report, paper=paper))
    assert boxes
    for width, height in boxes:
        assert (float(width), float(height)) == pytest.approx(size, abs=0.5)


def test_every_page_carries_mark_sentence_and_number(report):
    pages = _pages(to_pdf(report))
    assert len(pages) >= 3
    for number, text in enumerate(pages, 1):
        assert "INVENTED DATA" in text
        assert "no accuracy on real photographs is known" in text
        assert f"page {number} of {len(pages)}" in text


def test_real_data_carries_no_mark(report):
    assert not any("INVENTED DATA" in page for page in _pages(to_pdf(replace(report, invented=False))))


def test_signs_of_the_trade_arrive(report):
    text = "\n".join(_pages(to_pdf(report)))
    for words in ("0.83 ± 0.07 mm", "21°", "dry carbon", "worn electrodes", "weak coil", "can't tell"):
        assert words in text
    for row in report.plugs:
        assert row.verdict.action.words in text


def test_no_percentages_beside_causes(report):
    text = "\n".join(_pages(to_pdf(report)))
    section = text[text.index("What the set points to") : text.index("Checks")]
    assert "%" not in section
    assert "0.61" not in section


def test_fonts_are_embedded(report):
    pdf = to_pdf(report)
    assert b"/FontFile2" in pdf
    assert b"/Helvetica" not in pdf


def test_foreign_script_and_long_words_do_not_break_it(report):
    engine = replace(report.engine, name="機関 " + "W" * 400)
    context = replace(report.context, complaint="line\nbreak " + "x" * 900)
    assert to_pdf(replace(report, engine=engine, context=context)).startswith(b"%PDF")


def test_sixteen_plugs_stay_on_their_pages(report):
    many = tuple(replace(report.plugs[k % 4], place=Place(k + 1)) for k in range(16))
    text = "\n".join(_pages(to_pdf(replace(report, plugs=many))))
    assert re.search(r"^\s*16\s", text, re.MULTILINE)


def test_no_heading_is_left_behind_by_its_list(report):
    """However far the plugs push it down: every heading shares its page with the first item of its list."""
    steps = tuple(f"first-{k} {'long words ' * 20}" for k in range(6))
    for many in range(1, 7):
        verdict = replace(report.plugs[0].verdict, steps=steps)
        plugs = tuple(replace(report.plugs[k % 4], place=Place(k + 1), verdict=verdict) for k in range(many))
        pages = _pages(to_pdf(replace(report, plugs=plugs)))
        (page,) = [
            text for text in pages if re.search(r"^\s*Cleaning, gap and refit\s*$", text, re.MULTILINE)
        ]
        assert "first-0" in page


def test_charts_are_vectors(report):
    # dashed limits of the gap chart: dashes of 1.2 mm = 3.402 pt (ISO 32000-1, 8.4.3.6)
    assert re.search(rb"\[3\.402 3\.402\] [\d.]+ d", _streams(to_pdf(report)))
