"""The look: large targets, calm surfaces, the house's inks for drawings in light and dark."""

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
[data-testid="stFileUploaderDropzone"] { min-height: 5.5rem; }
[data-testid="stExpander"] summary { min-height: 3.1rem; }
h1 { font-size: 1.9rem !important; padding: 0.2rem 0 !important; }
h2 { font-size: 1.4rem !important; padding: 0.4rem 0 0.1rem !important; color: var(--ps-accent) !important; }
h3 { font-size: 1.15rem !important; padding: 0.2rem 0 !important; }
.ps-quiet { color: var(--ps-soft); font-size: 0.92rem; line-height: 1.4; margin: 0; }
.ps-mark { border: 2px solid var(--ps-text); padding: 0.15rem 0.6rem; font-weight: 600; display: inline-block; }
.ps-word { font-weight: 600; color: var(--ps-accent); letter-spacing: 0.02em; }
.ps-rows { display: grid; grid-template-columns: max-content 1fr; gap: 0.15rem 1rem; margin: 0; }
.ps-rows dt { color: var(--ps-soft); } .ps-rows dd { margin: 0; }
.ps-head { display: flex; gap: 0.8rem; align-items: center; font-weight: 600; font-size: 1.1rem; }
.ps-head svg { width: 2.2rem; height: 2.2rem; flex: none; }
.ps-head .ps-number { font-size: 1.8rem; min-width: 2rem; }
.ps-drawing text { font-family: inherit; }
.ps-full svg { width: 100%; height: auto; }
.ps-bands svg { width: 4.2rem; height: auto; }
"""


def dress() -> None:
    """Put the style on the page; the inks follow the theme that the browser shows."""
    inks = DARK if st.context.theme.type == "dark" else LIGHT
    st.html(
        f"<style>{_CSS.replace('INKS', ' '.join(f'--ps-{k.name.lower()}: {v};' for k, v in inks.items()))}</style>"
    )


def draw(drawing: Drawing, *, wide: bool = False) -> None:
    """Show a drawing; ``wide`` stretches it over the column."""
    svg = to_svg(drawing)
    st.html(f'<div class="ps-full">{svg}</div>' if wide else svg)
