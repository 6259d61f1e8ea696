"""The verb of the readings room."""

from collections.abc import Sequence

from plugsight.readings.continuity import judge_continuity
from plugsight.readings.gauge import judge_gauge
from plugsight.readings.insulation import judge_insulation
from plugsight.readings.meter import check_meter
from plugsight.readings.record import Reading, ReadingEntry, ReadingKind, Readings
from plugsight.readings.resistance import judge_resistance
from plugsight.readings.spec import check_spec
from plugsight.vocabulary.engine import Meter, PlugSpec
from plugsight.vocabulary.errors import InputError


def judge_readings(entries: Sequence[ReadingEntry], spec: PlugSpec, meter: Meter) -> Readings:
    """Read and judge what a person wrote down, in the order given; no entries give no readings.

    Raises
    ------
    InputError
        Meter or plug facts that can't be; the unusable entry, or one error that lists all of them.

    """
    check_meter(meter)
    check_spec(spec)
    judged: list[Reading] = []
    wrong: list[InputError] = []
    for entry in entries:
        try:
            judged.append(_judge(entry, spec, meter))
        except InputError as error:
            wrong.append(error)
    if len(wrong) == 1:
        raise wrong[0]
    if wrong:
        raise InputError(
            "readings", f"{len(wrong)} can't be used", "\n".join(f"- {error}" for error in wrong)
        )
    return Readings(tuple(judged))


def _judge(entry: ReadingEntry, spec: PlugSpec, meter: Meter) -> Reading:
    where = f"plug {entry.place}, {entry.kind}"
    match entry.kind:
        case ReadingKind.GAUGE:
            return judge_gauge(entry, spec, where)
        case ReadingKind.RESISTANCE:
            return judge_resistance(entry, spec, meter, where)
        case ReadingKind.CONTINUITY:
            return judge_continuity(entry, meter, where)
        case ReadingKind.INSULATION:
            return judge_insulation(entry, meter, where)
