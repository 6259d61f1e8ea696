"""The look: large targets, calm surfaces, the house's inks for drawings in light and dark."""

import base64
from collections.abc import Mapping
from html import escape

import streamlit as st

from plugsight.report.draw_svg import to_svg
from plugsight.report.drawing import Drawing, Ink

DARK = {
    Ink.TEXT: "#eef2f3",
    Ink.SOFT: "#aab6bc",
    Ink.HAIR: "#4a565d",
    Ink.TINT: "#1f2a31",
    Ink.PAPER: "#12181c",
    Ink.ACCENT: "#6cc5d3",
}
LIGHT = {**{ink: ink.value for ink in Ink}, Ink.PAPER: "#fbfcfc"}

_CSS = """
:root { INKS }
.block-container { max-width: 62rem; padding: 1.2rem 1.1rem 4rem; }
.stButton button, .stDownloadButton button, .stFormSubmitButton button, .stLinkButton a { min-height: 3.1rem; }
.stButtonGroup button { min-height: 2.9rem; }
.stTextInput input, .stNumberInput input { min-height: 3rem; }
[data-testid="stFileUploaderDropzone"] { min-height: 4.6rem; align-items: center; }
[data-testid="stExpander"] summary { min-height: 3.1rem; }
h1 { font-size: 1.9rem !important; padding: 0.2rem 0 0.5rem !important; }
h2 { font-size: 1.4rem !important; padding: 0.4rem 0 0.5rem !important; color: var(--ps-accent) !important; }
h3 { font-size: 1.15rem !important; padding: 0.2rem 0 !important; }
.ps-quiet { color: var(--ps-soft); font-size: 0.92rem; line-height: 1.4; margin: 0; }
.ps-setting { margin: 0; padding-left: 0.6rem; border-left: 3px solid var(--ps-accent); line-height: 1.4; }
.ps-mark { border: 2px solid var(--ps-text); padding: 0.15rem 0.6rem; font-weight: 600; display: inline-block; }
.ps-word { font-weight: 600; color: var(--ps-accent); letter-spacing: 0.02em; }
.ps-rows { display: grid; grid-template-columns: max-content 1fr; gap: 0.15rem 1rem; margin: 0 !important; padding: 0 !important; }
.ps-rows dt { color: var(--ps-soft); font-weight: 400; }
.ps-rows dt, .ps-rows dd { margin: 0 !important; padding: 0 !important; }
.ps-head { display: flex; gap: 0.8rem; align-items: center; font-weight: 600; font-size: 1.1rem; }
.ps-head img { width: 2.2rem; height: 2.2rem; flex: none; }
.ps-head .ps-number { font-size: 1.8rem; min-width: 2rem; }
.ps-full { width: 100%; height: auto; }
.ps-fit { max-width: 100%; height: auto; }
.ps-head .ps-bands { width: 4.4rem; height: auto; }
.ps-pairs { width: 100%; border-collapse: collapse; table-layout: fixed; }
.ps-pairs th, .ps-pairs td { border: 1px solid var(--ps-hair); padding: 0.4rem 0.5rem; text-align: left; vertical-align: top; }
.ps-pairs th:first-child { width: 3.4rem; } .ps-pairs img { width: 100%; max-width: 10rem; height: auto; }
.ps-rows ul { margin: 0; padding-left: 1.1rem; }
.ps-tight ul { margin: 0 0 0.4rem; padding-left: 1.2rem; } .ps-tight p { margin: 0.15rem 0; }
"""


# white on the light accent of the dark theme would be too faint
_DARK_CSS = """
[data-testid="stBaseButton-primary"], [data-testid="stBaseButton-primary"] *,
[data-testid="stBaseButton-primaryFormSubmit"], [data-testid="stBaseButton-primaryFormSubmit"] * {
  color: #0c1418 !important; }
"""


def dress() -> None:
    """Put the style on the page; the inks follow the theme that the browser shows."""
    inks = " ".join(f"--ps-{ink.name.lower()}: {colour};" for ink, colour in _inks().items())
    extra = _DARK_CSS if st.context.theme.type == "dark" else ""
    st.html(f"<style>{_CSS.replace('INKS', inks)}{extra}</style>")


def _inks() -> Mapping[Ink, str]:
    return DARK if st.context.theme.type == "dark" else LIGHT


def picture(drawing: Drawing, kind: str = "ps-fit") -> str:
    """Return a drawing as an ``<img>``: Streamlit takes bare SVG out of a page's HTML."""
    data = base64.b64encode(to_svg(drawing, _inks()).encode()).decode()
    return f'<img class="{kind}" alt="{escape(drawing.says)}" src="data:image/svg+xml;base64,{data}">'


def draw(drawing: Drawing, *, wide: bool = False) -> None:
    """Show a drawing; ``wide`` stretches it over the column, up to where its smallest words are as large as the page's."""
    image = picture(drawing, "ps-full" if wide else "ps-fit")
    st.html(f'<div style="max-width: {drawing.width / 3.2:.0f}rem">{image}</div>' if wide else image)
