"""The engine as a whole: causes with the evidence for and against, the next check, and its outcome."""

from html import escape

import streamlit as st

from plugsight import flow
from plugsight.causes.record import Band, Causes, RankedCause, Why
from plugsight.page.check_cards import checks_done, next_checks
from plugsight.page.concluded import concluded
from plugsight.page.dress import draw, picture
from plugsight.page.undecided import undecided
from plugsight.page.words_html import quiet
from plugsight.report.cause_bands import band_mark
from plugsight.report.gap_chart import gap_chart, gap_points
from plugsight.report.nose_swatches import nose_swatches

BLOCK_WORDS = "three most likely, two possible, one unlikely"
OPEN, MOST = 3, 12
"""Causes shown open, and causes shown at all."""


def show(inspection: flow.Inspection) -> None:
    """Show causes and checks; while a plug is undecided, show which."""
    if undecided(inspection):
        return
    found = concluded(inspection)
    causes = found.causes
    if causes.separable:
        _causes(causes)
        next_checks(inspection, found.checks)
    else:
        st.info(
            "Nothing stands out yet: the next check tells more than the list below.",
            icon=":material/balance:",
        )
        next_checks(inspection, found.checks)
        _causes(causes)
    checks_done(inspection)
    _side_by_side(inspection, found)


def _causes(causes: Causes) -> None:
    st.header("What the set points to", anchor=False)
    st.html(quiet(f"Blocks rank the causes: {BLOCK_WORDS}. A judgement, not a measured share."))
    standing = [cause for cause in causes.ranked if cause.band is not Band.UNLIKELY]
    for cause in standing[:OPEN]:
        with st.container(border=True):
            st.html(_head(cause) + _evidence(cause))
    behind = standing[OPEN:MOST]
    unlikely = [cause for cause in causes.ranked if cause.band is Band.UNLIKELY][:MOST]
    for label, folded in (("Also possible", behind), ("Unlikely", unlikely)):
        if folded:
            with st.expander(f"{label}: {', '.join(dict.fromkeys(cause.name for cause in folded[:3]))}"):
                st.html("".join(_head(cause) + _evidence(cause) for cause in folded))
    for remark in causes.remarks:
        st.html(quiet(remark))


def _head(cause: RankedCause) -> str:
    return (
        f'<div class="ps-head">{picture(band_mark(cause.band), "ps-bands")}<span>{escape(cause.name)}</span></div>'
        f'<p class="ps-quiet">{escape(cause.band)}, {escape(str(cause.site))}</p>'
    )


def _evidence(cause: RankedCause) -> str:
    parts = []
    for label, whys in (("Speaks for", cause.speaks_for), ("Speaks against", cause.speaks_against)):
        if whys:
            parts.append(f"<p>{label}</p><ul>{''.join(map(_why, whys))}</ul>")
    if cause.repair:
        parts.append(f"<p><strong>If it is this:</strong> {escape(cause.repair)}</p>")
    return f'<div class="ps-tight">{"".join(parts)}</div>'


def _why(why: Why) -> str:
    return f'<li>{escape(why.words)} <span class="ps-quiet">({escape(why.source)})</span></li>'


def _side_by_side(inspection: flow.Inspection, found: flow.Conclusion) -> None:
    st.header("The set side by side", anchor=False)
    report = flow.make_report(inspection, found, who="", made=inspection.updated)
    left, right = st.columns([3, 2])
    with left:
        draw(gap_chart(gap_points(report.plugs), report.spec, width=84, height=60), wide=True)
    with right:
        st.html(quiet("Nose colour, measured against the grey card (L* 0 black, 100 white)"))
        draw(nose_swatches(report.plugs), wide=True)
