"""From judged readings to findings: only what gauge and meter allow to say."""

from collections.abc import Iterator

from plugsight.causes.seen import Seen
from plugsight.readings.record import Judgement, Reading, ReadingKind, Readings
from plugsight.vocabulary.engine import Place, PlugSpec


def measured(readings: Readings, place: Place, spec: PlugSpec) -> Iterator[Seen]:
    """Yield what the latest reading of each kind says of one plug.

    A reading that still asks for cleaning and a repeat says nothing yet; nor does one without a figure to judge by.
    """
    latest_gap = {r.electrode: r for r in readings.of(place, ReadingKind.GAUGE)}
    yield from _gap([*latest_gap.values()], place, spec)
    for kind in (ReadingKind.RESISTANCE, ReadingKind.CONTINUITY, ReadingKind.INSULATION):
        taken = readings.of(place, kind)
        if taken and taken[-1].final:
            yield from _meter(taken[-1], place)


def _gap(gaps: list[Reading], place: Place, spec: PlugSpec) -> Iterator[Seen]:
    known = [r for r in gaps if r.judgement in (Judgement.IN, Judgement.OUT) and r.value is not None]
    if not known or spec.gap_mm is None:
        return
    out = [r.value for r in known if r.judgement is Judgement.OUT and r.value is not None]
    yield Seen("gap_wide", any(value > spec.gap_mm[1] for value in out), place=place)
    yield Seen("gap_narrow", any(value < spec.gap_mm[0] for value in out), place=place)


def _meter(reading: Reading, place: Place) -> Iterator[Seen]:
    says: tuple[tuple[str, bool], ...] = ()
    match reading.judgement:
        case Judgement.OPEN:
            says = (("resistance_open", True),)
        case Judgement.OUT if reading.kind is ReadingKind.RESISTANCE:
            says = (("resistance_open", False), ("resistance_out", True))
        case Judgement.IN if reading.kind is ReadingKind.RESISTANCE:
            says = (("resistance_open", False), ("resistance_out", False))
        case Judgement.USUAL | Judgement.UNUSUAL:
            says = (("resistance_open", False),)
        case Judgement.SOUNDS:
            says = (("strap_open", False),)
        case Judgement.NO_SOUND:
            says = (("strap_open", True),)
        case Judgement.LEAK:
            says = (("insulation_leak", True),)
        case Judgement.NO_LEAK_SEEN:
            says = (("insulation_leak", False),)
        case _:
            pass
    for finding, present in says:
        yield Seen(finding, present, place=place)
