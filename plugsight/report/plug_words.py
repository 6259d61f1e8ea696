"""What the report says of one plug, in sentences."""

from plugsight.causes import known_causes
from plugsight.checks import known_checks
from plugsight.confirmation.record import Confirmation, Decision
from plugsight.readings.record import Reading, ReadingKind
from plugsight.report.record import PlugRow
from plugsight.vocabulary.bench import BenchQuestion
from plugsight.vocabulary.outcomes import CheckOutcome, RepairOutcome

READING_NAMES = {
    ReadingKind.GAUGE: "wire gauge",
    ReadingKind.RESISTANCE: "resistance",
    ReadingKind.CONTINUITY: "strap to shell",
    ReadingKind.INSULATION: "insulation",
}

_BENCH_NAMES = {BenchQuestion.LENS: "10x lens", BenchQuestion.LIQUID: "liquid in the cylinder"}


def condition(decided: Confirmation) -> str:
    """Return the condition as confirmed: dominant deposit first, then what lies beside it, then damage."""
    if not decided.seen:
        return "can't tell (counts as not seen)"
    deposits = str(decided.deposits[0])
    if len(decided.deposits) > 1:
        deposits += f", also {_listed(decided.deposits[1:])}"
    return f"{deposits}; {_listed(decided.damage)}" if decided.damage else deposits


def decided_by(decided: Confirmation) -> str:
    """Return who decided, when, and what they had been shown."""
    day, _, clock = decided.when.partition("T")
    return f"{decided.who}, {day} {clock[:5]}: {_manner(decided)}"


def bench_lines(decided: Confirmation) -> tuple[str, ...]:
    """Return the bench tests and looks that were answered; what is sound in one line."""
    sound = [_bench_name(found.question) for found in decided.bench if found.answer == "sound"]
    rest = [f"{_bench_name(f.question)}: {f.answer}" for f in decided.bench if f.answer != "sound"]
    return tuple([f"sound: {', '.join(sound)}", *rest] if sound else rest)


def _bench_name(question: BenchQuestion) -> str:
    return _BENCH_NAMES.get(question, str(question))


def photo_gap(row: PlugRow) -> str:
    """Return the best gap a photo gave, or why there is none."""
    seen = [p for p in row.pictures if p.gap_mm is not None and p.gap_U_mm is not None]
    if seen:
        return min(seen, key=lambda p: p.gap_U_mm or 0.0).gap_words
    refused = [p.gap_words for p in row.pictures if p.gap_words]
    return refused[0] if refused else "no photo"


def reading_line(reading: Reading) -> tuple[str, str]:
    """Return the reading's name, and what was written with what it allows to say."""
    name = READING_NAMES[reading.kind]
    if reading.kind is ReadingKind.GAUGE and reading.electrode > 1:
        name += f", strap {reading.electrode}"
    if reading.after_cleaning:
        name += ", cleaned"
    written, judged = reading.text.strip(), str(reading.judgement)
    if reading.kind is ReadingKind.GAUGE and written.replace(".", "").isdecimal():
        written += " mm"
    return name, judged if written.lower() == judged else f"{written}: {judged}"


def _manner(decided: Confirmation) -> str:
    shown = decided.shown
    match decided.decision:
        case Decision.CANT_TELL:
            return "looked, and could not tell"
        case Decision.ACCEPTED:
            return "agreed with the suggestion"
        case Decision.CORRECTED:
            return f"corrected the suggestion (it said {_listed((*shown.suggested, *shown.damage))})"
        case Decision.DECIDED if shown.blind:
            return "decided before any suggestion was shown"
        case Decision.DECIDED:
            return "decided without a suggestion"


def _listed(words: tuple[str, ...]) -> str:
    return ", ".join(map(str, words))


def check_done(outcome: CheckOutcome) -> str:
    """Return one line for a check that was done, in the words of the checks' own data."""
    known = {check.id: check for check in known_checks()}.get(outcome.check)
    name = known.name if known else _spoken(outcome.check)
    words = {o.id: o.words for o in known.outcomes} if known else {}
    at = ""
    if outcome.cylinder is not None:
        at = f", cylinder {outcome.cylinder}"
    elif outcome.bank is not None:
        at = f", bank {outcome.bank}"
    note = f" ({outcome.note})" if outcome.note else ""
    return f"{name}{at}: {words.get(outcome.outcome, _spoken(outcome.outcome))}{note}"


def repair_lines(repair: RepairOutcome) -> tuple[str, ...]:
    """Return what was repaired and whether it helped."""
    known = {True: "gone", False: "still there", None: "not known yet"}
    lines = [f"repaired: {repair.repaired}"]
    if repair.causes:
        names = {cause.id: cause.name for cause in known_causes()}
        lines.append(f"proved: {', '.join(names.get(cause, _spoken(cause)) for cause in repair.causes)}")
    lines += [
        f"complaint: {known[repair.complaint_gone]}",
        f"finding on the plugs: {known[repair.finding_gone]}",
    ]
    if repair.odometer_km is not None:
        lines.append(f"at {repair.odometer_km:.0f} km")
    signed = ", ".join(x for x in (repair.who, repair.when) if x)
    return (*lines, signed) if signed else tuple(lines)


def _spoken(identifier: str) -> str:
    return identifier.replace("_", " ").replace("-", " ")
