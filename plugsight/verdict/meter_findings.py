"""What gauge and meter ask for, and which readings are still missing."""

from collections.abc import Iterator

from plugsight.causes.sources import cite
from plugsight.readings.record import Judgement, Reading, ReadingKind, Readings
from plugsight.verdict.open_question import OpenQuestion
from plugsight.verdict.record import Action, VerdictReason
from plugsight.vocabulary.engine import Electrode, Place, PlugSpec

_FAILS = {Judgement.OUT, Judgement.OPEN, Judgement.NO_SOUND, Judgement.LEAK}
_UNCLEAR = {Judgement.CANT_TELL_METER, Judgement.UNUSUAL}
_METER = (ReadingKind.RESISTANCE, ReadingKind.CONTINUITY, ReadingKind.INSULATION)


def meter_findings(
    readings: Readings, place: Place, spec: PlugSpec
) -> Iterator[VerdictReason | OpenQuestion]:
    """Judge one plug's latest reading of each kind; the meter fails a plug only after the repeat it asks for."""
    for kind in _METER:
        taken = readings.of(place, kind)
        if not taken:
            yield OpenQuestion(f"{kind}: not read yet", Action.REPLACE)
            continue
        last = taken[-1]
        said = f"{kind}: {last.words}"
        if last.judgement in _FAILS and last.final:
            yield VerdictReason(Action.REPLACE, said, cite("cp"))
        elif last.judgement in _FAILS | _UNCLEAR or not last.final:
            yield OpenQuestion(f"{said}. {last.remedy}".strip(), Action.REPLACE)
    for electrode in range(1, spec.ground_electrodes + 1):
        gauged = [r for r in readings.of(place, ReadingKind.GAUGE) if r.electrode == electrode]
        which = f" of ground electrode {electrode}" if spec.ground_electrodes > 1 else ""
        if not gauged:
            yield OpenQuestion(f"gap{which}: gauge it with a wire", Action.CLEAN)
        else:
            yield from _gap(gauged[-1], which, spec)


def _gap(reading: Reading, which: str, spec: PlugSpec) -> Iterator[VerdictReason | OpenQuestion]:
    said = f"gap{which}: {reading.words}"
    if reading.judgement is Judgement.NO_SPEC:
        yield OpenQuestion(f"{said}. {reading.remedy}", Action.CLEAN)
    if reading.judgement is not Judgement.OUT:
        return
    settable = spec.electrode is Electrode.NICKEL or spec.reset_allowed
    if settable:
        yield VerdictReason(Action.CLEAN, f"{said}: set it", cite("cp"))
    elif spec.electrode is Electrode.PRECIOUS and spec.reset_allowed is False:
        yield VerdictReason(Action.REPLACE, f"{said}: its maker does not allow resetting", cite("cp"))
    else:
        yield OpenQuestion(
            f"{said}. Nickel or fine-wire precious metal? Fine-wire: does its maker allow resetting?",
            Action.REPLACE,
        )
