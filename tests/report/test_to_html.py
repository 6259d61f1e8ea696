"""The HTML report: self-contained, accessible in its bones, safe with hostile words."""

import itertools
import re
from dataclasses import replace
from html.parser import HTMLParser

from plugsight.report import to_html


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))


def _tags(page: str) -> list[tuple[str, dict[str, str | None]]]:
    reader = _Reader()
    reader.feed(page)
    return reader.tags


def test_fetches_nothing_and_runs_nothing(report):
    page = to_html(report)
    for tag, attrs in _tags(page):
        assert tag not in {"script", "link", "iframe", "object", "form"}
        assert not any(name.startswith("on") for name in attrs)
        for name in ("src", "href"):
            assert attrs.get(name, "data:").startswith("data:")
    assert "@import" not in page
    assert "url(" not in page


def test_hostile_words_are_escaped(report):
    evil = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>"
    engine = replace(report.engine, name=evil)
    row = replace(report.plugs[0], pictures=(replace(report.plugs[0].pictures[0], caption=evil),))
    page = to_html(replace(report, engine=engine, plugs=(row, *report.plugs[1:])))
    assert "<script" not in page
    assert "<img src=x" not in page
    assert "&lt;script&gt;" in page


def test_headings_language_and_alternatives(report):
    tags = _tags(to_html(report))
    assert ("html", {"lang": "en"}) in tags
    assert sum(tag == "h1" for tag, _ in tags) == 1
    levels = [int(tag[1]) for tag, _ in tags if re.fullmatch(r"h[1-6]", tag)]
    assert all(b - a <= 1 for a, b in itertools.pairwise(levels))
    images = [attrs for tag, attrs in tags if tag == "img"]
    assert len(images) == 6
    assert all(attrs.get("alt") for attrs in images)
    drawings = [attrs for tag, attrs in tags if tag == "svg"]
    assert all(attrs.get("role") == "img" and attrs.get("aria-label") for attrs in drawings)


def test_says_what_pdf_says(report):
    page = to_html(report)
    for words in ("INVENTED DATA", report.honesty, "0.83 ± 0.07 mm", "weak coil", "P0303", "Put right first"):
        assert words in page
    assert "61" not in re.sub(r'src="[^"]*"|<svg.*?</svg>|<style>.*?</style>', "", page, flags=re.DOTALL)
    assert "INVENTED DATA" not in to_html(replace(report, invented=False))


def test_same_report_makes_same_page(report):
    assert to_html(report) == to_html(report)
