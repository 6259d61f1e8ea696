"""Gauge and meter readings of one plug: written as read, judged at once."""

from collections.abc import Iterator
from contextlib import contextmanager
from html import escape

import streamlit as st

from plugsight import flow
from plugsight.page.session import attempt, casebook
from plugsight.page.words_html import quiet, sentence
from plugsight.readings import ReadingEntry, ReadingKind
from plugsight.readings.record import Reading
from plugsight.readings.steps import READING_STEPS, range_words
from plugsight.vocabulary.engine import Place

LABELS = {
    ReadingKind.GAUGE: "Gap by wire gauge",
    ReadingKind.RESISTANCE: "Resistance, terminal to centre electrode",
    ReadingKind.CONTINUITY: "Strap to shell",
    ReadingKind.INSULATION: "Insulation, centre electrode to shell",
}


def reading_entries(inspection: flow.Inspection, case: flow.PlugCase) -> None:
    """Show an entry per reading, the range to set beside it, and what the latest one allows to say."""
    st.subheader("Gauge and meter", anchor=False)
    cleaned = st.toggle("Readings after cleaning", key=f"after-{case.place}")
    judged = flow.readings_of(inspection).of(case.place)
    straps = max(1, inspection.spec.ground_electrodes)
    for strap in range(1, straps + 1):
        with _beside(inspection, ReadingKind.GAUGE):
            _written(
                inspection.id,
                case.place,
                ReadingKind.GAUGE,
                judged,
                strap=strap,
                cleaned=cleaned,
                straps=straps,
            )
    with _beside(inspection, ReadingKind.RESISTANCE):
        _written(inspection.id, case.place, ReadingKind.RESISTANCE, judged, cleaned=cleaned)
    with _beside(inspection, ReadingKind.CONTINUITY):
        _sounded(inspection.id, case.place, judged, cleaned=cleaned)
    with _beside(inspection, ReadingKind.INSULATION):
        _written(inspection.id, case.place, ReadingKind.INSULATION, judged, cleaned=cleaned)


@contextmanager
def _beside(inspection: flow.Inspection, kind: ReadingKind) -> Iterator[None]:
    """Put what the meter is set to beside the entry that is made inside; above it on a phone: first set, then read."""
    setting, entry = st.columns([2, 3], vertical_alignment="center")
    with setting:
        words = range_words(kind, inspection.spec, inspection.meter) or READING_STEPS[kind].steps[-1]
        st.html(f'<p class="ps-setting">{escape(words)}</p>')
    with entry:
        yield


def _written(
    inspection: str,
    place: Place,
    kind: ReadingKind,
    judged: tuple[Reading, ...],
    *,
    cleaned: bool,
    strap: int = 1,
    straps: int = 1,
) -> None:
    key = f"read-{kind.name}-{place}-{strap}-{cleaned}"
    latest = [r for r in judged if r.kind is kind and r.electrode == strap and r.after_cleaning is cleaned]
    label = LABELS[kind] + (f", strap {strap}" if straps > 1 else "")
    steps = READING_STEPS[kind]
    st.text_input(
        label,
        value=latest[-1].text if latest else "",
        key=key,
        placeholder=steps.write,
        max_chars=40,
        help="  \n".join(steps.steps),
        on_change=_keep,
        args=(key, inspection, place, kind, strap, cleaned),
    )
    _say(latest)


def _sounded(inspection: str, place: Place, judged: tuple[Reading, ...], *, cleaned: bool) -> None:
    kind = ReadingKind.CONTINUITY
    key = f"read-{kind.name}-{place}-{cleaned}"
    latest = [r for r in judged if r.kind is kind and r.after_cleaning is cleaned]
    st.pills(
        LABELS[kind],
        ("sounds", "silent"),
        default=latest[-1].text if latest and latest[-1].text in {"sounds", "silent"} else None,
        key=key,
        wrap=True,
        help="  \n".join(READING_STEPS[kind].steps),
        on_change=_keep,
        args=(key, inspection, place, kind, 1, cleaned),
    )
    _say(latest)


def _say(latest: list[Reading]) -> None:
    if latest:
        st.html(quiet(f"{sentence(latest[-1].words)} {sentence(latest[-1].remedy)}"))


def _keep(key: str, inspection: str, place: Place, kind: ReadingKind, strap: int, cleaned: bool) -> None:
    typed = st.session_state[key]
    if not typed:
        return
    entry = ReadingEntry(place, kind, str(typed), electrode=strap, after_cleaning=cleaned)
    book = casebook()
    if not attempt(lambda: book.read(book.load(inspection), entry)):
        st.session_state.pop(key, None)
