"""What becomes of each plug, why, and what still has to be looked at."""

from html import escape

import streamlit as st

from plugsight import flow
from plugsight.page.address import go
from plugsight.page.concluded import concluded
from plugsight.page.undecided import undecided
from plugsight.page.words_html import verdict_head
from plugsight.verdict.record import PlugVerdict, VerdictReason


def show(inspection: flow.Inspection) -> None:
    """Show every plug's verdict; cautions first, since they hold for all."""
    if undecided(inspection):
        return
    found = concluded(inspection)
    st.header("What becomes of each plug", anchor=False)
    for verdict in found.verdicts:
        with st.container(border=True):
            _verdict(verdict)
    first = tuple(dict.fromkeys(words for verdict in found.verdicts for words in verdict.repair_first))
    if first:
        st.header("Put right first", anchor=False)
        st.html(_list(first))
    steps = tuple(dict.fromkeys(words for verdict in found.verdicts for words in verdict.steps))
    if steps:
        with st.expander("Cleaning, gap and refit"):
            st.html(_list(steps))
    own = tuple(words for verdict in found.verdicts for words in verdict.cautions)
    st.header("Cautions", anchor=False)
    st.html(_list(tuple(dict.fromkeys((*found.cautions, *own)))))
    st.button(
        "On to the report",
        type="primary",
        icon=":material/arrow_forward:",
        width="stretch",
        on_click=go,
        args=("report",),
    )


def _verdict(verdict: PlugVerdict) -> None:
    st.html(verdict_head(str(verdict.place), verdict.action))
    because = "".join(f"<dt>because</dt><dd>{_reason(why)}</dd>" for why in verdict.reasons)
    still = f"<dt>look at</dt><dd>{_list(verdict.look_at)}</dd>" if verdict.look_at else ""
    gap = f"<dt>gap to set</dt><dd>{escape(verdict.gap_words)}</dd>" if verdict.gap_words else ""
    st.html(f'<dl class="ps-rows">{because}{still}{gap}</dl>')
    st.button(
        f"Open plug {verdict.place}",
        key=f"open-{verdict.place}",
        on_click=go,
        args=("plug",),
        kwargs={"place": verdict.place},
    )


def _reason(why: VerdictReason) -> str:
    return f'{escape(why.words)} <span class="ps-quiet">({escape(why.source)})</span>'


def _list(items: tuple[str, ...]) -> str:
    return f"<ul>{''.join(f'<li>{escape(words)}</li>' for words in items)}</ul>"
