"""Ask a person at the terminal what they see. No question has a default: nothing is accepted by pressing Enter."""

from collections.abc import Callable, Sequence
from typing import TypeVar

import typer
from rich.console import Console

from plugsight.casebook import Casebook
from plugsight.cli.screen import heading, line, table
from plugsight.cli.show_look import show_photo, show_suggestion
from plugsight.flow import Inspection, PlugLook
from plugsight.suggestion import Suggestion
from plugsight.vocabulary.bench import BENCH, CANT_TELL, BenchFinding, BenchQuestion
from plugsight.vocabulary.damage import DAMAGE, Damage
from plugsight.vocabulary.deposits import DEPOSITS, Deposit
from plugsight.vocabulary.engine import Place

T = TypeVar("T")
W = TypeVar("W", bound=str)

BEFORE_REFIT = (
    BenchQuestion.LENS,
    BenchQuestion.THREAD,
    BenchQuestion.SEAT,
    BenchQuestion.TERMINAL,
    BenchQuestion.OUTER_INSULATOR,
    BenchQuestion.DROPPED,
)
"""What a plug must have answered before it may be refitted (common practice, no source)."""

_CANT_TELL, _ACCEPT, _NONE, _NOT_LOOKED, _LIST = "?", "a", "none", "not looked", "list"


def show_choices(to: Console) -> None:
    """List deposits and damage with how they look and the numbers to type."""
    table(
        to, ("", "deposit", "looks like"), ((str(n), d, DEPOSITS[d].look) for n, d in enumerate(Deposit, 1))
    )
    to.print()
    table(to, ("", "damage", "looks like"), ((str(n), d, DAMAGE[d].look) for n, d in enumerate(Damage, 1)))


def ask_plug(to: Console, book: Casebook, inspection: Inspection, place: Place, who: str) -> Inspection:
    """Show one plug (its suggestion only where it isn't decided blind), ask, and save the answers."""
    heading(to, f"Plug {place}")
    seen = book.look(inspection, place)
    blind = book.blind(inspection, place)
    for photo in seen.photos:
        show_photo(to, photo)
    if blind:
        line(to, "Decide this one by eye: one plug in five is decided before its suggestion is shown.")
    else:
        show_suggestion(to, seen)
    accepted = None if blind else _acceptable(seen)
    deposits = _ask_deposits(to, accepted)
    if deposits is None:
        return book.decide(inspection, place, (), who=who, cant_tell=True)
    damage, damage_absent = _ask_damage(to)
    bench = _ask_bench(to, seen, blind=blind)
    inspection = book.decide(
        inspection, place, deposits, who=who, damage=damage, damage_absent=damage_absent, bench=bench
    )
    if blind:
        line(to, "For comparison, now that you have decided:")
        show_suggestion(to, seen)
    return inspection


def ask_who() -> str:
    """Ask who decides: every decision carries a name."""
    return _ask("Who decides? name or initials", str)


def _acceptable(seen: PlugLook) -> Deposit | None:
    suggestion = seen.suggestion
    if isinstance(suggestion, Suggestion) and len(suggestion.members) == 1:
        return suggestion.members[0]
    return None


def _ask_deposits(to: Console, accepted: Deposit | None) -> tuple[Deposit, ...] | None:
    """Return the deposits, dominant first, or None for "can't tell"."""
    hint = f"'{_ACCEPT}' to accept {accepted}, " if accepted else ""
    question = f"What covers the nose? {hint}a number or word (dominant first, commas between), '{_CANT_TELL}' can't tell, '{_LIST}'"

    def read(text: str) -> tuple[Deposit, ...] | None:
        if text == _CANT_TELL:
            return None
        if text == _ACCEPT and accepted:
            return (accepted,)
        return _choose(text, list(Deposit))

    return _ask(question, read, lambda: show_choices(to))


def _ask_damage(to: Console) -> tuple[tuple[Damage, ...], tuple[Damage, ...]]:
    """Return the damage seen and the damage that was looked for and isn't there."""
    question = (
        f"Which damage? numbers or words, '{_NONE}' (looked for all, saw none), '{_NOT_LOOKED}', '{_LIST}'"
    )

    def read(text: str) -> tuple[tuple[Damage, ...], tuple[Damage, ...]]:
        if text == _NOT_LOOKED:
            return (), ()
        if text == _NONE:
            return (), tuple(Damage)
        return _choose(text, list(Damage)), ()

    return _ask(question, read, lambda: show_choices(to))


def _ask_bench(to: Console, seen: PlugLook, *, blind: bool) -> tuple[BenchFinding, ...]:
    split = (
        [s.question for s in seen.suggestion.split_by]
        if isinstance(seen.suggestion, Suggestion) and not blind
        else []
    )
    line(to, f"Bench tests: a number, '{_CANT_TELL}' can't tell, or Enter where you didn't look.")
    found = []
    for question in dict.fromkeys((*split, *BEFORE_REFIT)):
        words = BENCH[question]
        choices = "  ".join(f"{n} {answer}" for n, answer in enumerate(words.answers, 1))

        def read(text: str, answers: Sequence[str] = words.answers) -> str:
            if text in {"", _CANT_TELL}:
                return text and CANT_TELL
            return _choose(text, list(answers))[0]

        answer = _ask(f"{words.how}: {choices}", read, may_be_empty=True)
        if answer:
            found.append(BenchFinding(question, answer))
    return tuple(found)


def _choose(text: str, known: Sequence[W]) -> tuple[W, ...]:
    """Read numbers or words; ``ValueError`` with what is wrong."""
    chosen = []
    for part in (p.strip() for p in text.split(",")):
        if part.isdigit() and 1 <= int(part) <= len(known):
            chosen.append(known[int(part) - 1])
        elif part.lower() in known:
            chosen.append(next(k for k in known if k == part.lower()))
        else:
            message = f"'{part}' is none of the choices: type a number from 1 to {len(known)}."
            raise ValueError(message)
    return tuple(dict.fromkeys(chosen))


def _ask(
    question: str,
    read: Callable[[str], T],
    choices: Callable[[], None] | None = None,
    *,
    may_be_empty: bool = False,
) -> T:
    while True:
        text = typer.prompt(question, default="", show_default=False).strip()
        if choices is not None and text == _LIST:
            choices()
        elif text or may_be_empty:
            try:
                return read(text)
            except ValueError as problem:
                typer.echo(str(problem))
        else:
            typer.echo("Please answer: Enter alone decides nothing.")
