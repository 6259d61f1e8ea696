"""The gate between suggestion and causes: a person decides, and that is written down."""

from collections.abc import Iterable
from datetime import datetime

from plugsight.confirmation.record import _GATE, Confirmation, Decision
from plugsight.vocabulary.bench import BENCH, CANT_TELL, BenchFinding, BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.shown import ShownToPerson


def confirm(
    place: Place,
    deposits: Iterable[Deposit],
    *,
    shown: ShownToPerson,
    who: str,
    when: datetime,
    damage: Iterable[Damage] = (),
    absent: Iterable[Deposit] = (),
    damage_absent: Iterable[Damage] = (),
    bench: Iterable[BenchFinding] = (),
    cant_tell: bool = False,
    note: str = "",
) -> Confirmation:
    """Write down what a person decided about one plug.

    Parameters
    ----------
    place
        The plug.
    deposits
        What the person sees, the dominant deposit first. Empty only together with ``cant_tell``.
    shown
        What stood on screen when they decided.
    who
        The person's name or initials; not empty.
    when
        Moment of the decision, with its time zone.
    damage, absent, damage_absent
        Findings on metal and ceramic; what the person says is not there.
    bench
        Answered bench questions, at most one answer each.
    cant_tell
        The plug was looked at and nothing could be told: it counts as not seen.

    Raises
    ------
    InputError
        Where the parts contradict each other, with the field, the rule and the remedy.

    """
    where = f"plug {place}"
    seen, hurt = tuple(dict.fromkeys(deposits)), tuple(dict.fromkeys(damage))
    gone, unhurt = tuple(dict.fromkeys(absent)), tuple(dict.fromkeys(damage_absent))
    tests = tuple(bench)
    if not who.strip():
        raise InputError(
            where, "a decision needs the name of the person who made it", "Give a name or initials."
        )
    if when.tzinfo is None:
        raise InputError(where, "the moment of a decision needs its time zone", "Give a time with an offset.")
    if cant_tell and seen:
        raise InputError(
            where, "'can't tell' and a deposit contradict each other", "Choose one of them.", ", ".join(seen)
        )
    if not cant_tell and not seen:
        raise InputError(where, "nobody has decided this plug", "Name what you see, or say 'can't tell'.")
    both = sorted({*seen} & {*gone}) + sorted({*hurt} & {*unhurt})
    if both:
        raise InputError(where, "the same finding is marked present and absent", "Keep one of the two.", both)
    _check_bench(where, tests)
    return Confirmation(
        place=place,
        decision=_decision(seen, hurt, shown, cant_tell=cant_tell),
        deposits=seen,
        damage=hurt,
        absent=gone,
        damage_absent=unhurt,
        bench=tests,
        who=who.strip(),
        when=when.isoformat(timespec="seconds"),
        shown=shown,
        note=note.strip(),
        gate=_GATE,
    )


def _check_bench(where: str, tests: tuple[BenchFinding, ...]) -> None:
    asked: set[BenchQuestion] = set()
    for test in tests:
        if test.question in asked:
            raise InputError(where, f"two answers for '{test.question}'", "Keep one of them.")
        asked.add(test.question)
        answers = (*BENCH[test.question].answers, CANT_TELL)
        if test.answer not in answers:
            raise InputError(
                where,
                f"'{test.question}' can't be answered so",
                f"Use one of: {', '.join(answers)}.",
                test.answer,
            )


def _decision(
    seen: tuple[Deposit, ...], hurt: tuple[Damage, ...], shown: ShownToPerson, *, cant_tell: bool
) -> Decision:
    if cant_tell:
        return Decision.CANT_TELL
    if shown.blind or not shown.suggested:
        return Decision.DECIDED
    # a suggestion is a set: to take any of its members is to agree with it
    same = seen[0] in shown.suggested and {*hurt} == {*shown.damage}
    return Decision.ACCEPTED if same else Decision.CORRECTED
