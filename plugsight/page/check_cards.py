"""The next checks, each with its outcomes as buttons; an outcome is evidence at once."""

from html import escape

import streamlit as st

from plugsight import flow
from plugsight.checks.record import NextCheck, NextChecks, OutcomeMeaning
from plugsight.page.session import attempt, casebook
from plugsight.page.words_html import quiet, sentence
from plugsight.report.plug_words import check_done
from plugsight.vocabulary.outcomes import CheckOutcome

ALSO = 4
"""Checks that stand by themselves; what comes after is folded into one."""


def next_checks(inspection: flow.Inspection, checks: NextChecks) -> None:
    """Show the check that tells most per minute, then the others folded away."""
    st.header("Next check", anchor=False)
    if checks.stop:
        st.info(checks.stop, icon=":material/flag:")
    for remark in checks.remarks:
        st.warning(remark, icon=":material/front_hand:")
    first, others, rest = checks.items[:1], checks.items[1:ALSO], checks.items[ALSO:]
    for check in first:
        with st.container(border=True):
            _check(inspection, check)
    for check in others:
        with st.expander(f"Or: {_named(check)}, about {check.minutes:.0f} min"):
            _check(inspection, check)
    if rest:
        with st.expander(f"More checks ({len(rest)})"):
            for check in rest:
                _check(inspection, check)


def checks_done(inspection: flow.Inspection) -> None:
    """List the outcomes so far."""
    if inspection.outcomes:
        st.header("Checks done", anchor=False)
        st.html(f"<ul>{''.join(f'<li>{escape(check_done(o))}</li>' for o in inspection.outcomes)}</ul>")


def _named(check: NextCheck) -> str:
    return check.name if check.cylinder is None else f"{check.name}, cylinder {check.cylinder}"


def _check(inspection: flow.Inspection, check: NextCheck) -> None:
    st.markdown(f"**{sentence(_named(check))}**")
    facts = (
        f"About {check.minutes:.0f} min. Tools: {check.tools}. For: {check.skill}. Why: {sentence(check.why)}"
    )
    st.html(quiet(facts))
    if check.cautions:
        st.warning("\n".join(f"- {words}" for words in check.cautions), icon=":material/warning:")
    st.html(f"<p>{escape(check.how)}</p>")
    st.html(quiet("What came out? Touch it."))
    for outcome in check.outcomes:
        st.button(
            outcome.words,
            key=f"outcome-{check.id}-{check.cylinder}-{outcome.id}",
            help=outcome.meaning,
            width="stretch",
            on_click=_keep,
            args=(inspection.id, check, outcome),
        )


def _keep(inspection: str, check: NextCheck, outcome: OutcomeMeaning) -> None:
    book = casebook()
    kept = CheckOutcome(check.id, outcome.id, check.cylinder)
    attempt(lambda: book.check(book.load(inspection), kept))
