"""``plugsight decide``: a person confirms, corrects, or can't tell."""

from typing import Annotated

import typer

from plugsight.casebook import Casebook
from plugsight.cli.ask import ask_plug, ask_who, show_choices
from plugsight.cli.engine_file.decision_words import DecisionWords, read_decision
from plugsight.cli.finish import ask_undecided
from plugsight.cli.options import InspectionArgument, StoreOption, WhoOption
from plugsight.cli.screen import console, line
from plugsight.cli.session import casebook, plug_of
from plugsight.cli.show_inspection import show_inspection
from plugsight.flow import Inspection
from plugsight.suggestion import Suggestion
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.errors import InputError

Words = list[str] | None


def decide(
    inspection: InspectionArgument,
    plug: Annotated[
        str | None,
        typer.Argument(help="Which plug; every undecided one is asked for if left out.", metavar="PLUG"),
    ] = None,
    deposit: Annotated[
        Words, typer.Option(help="Deposit seen, the dominant one first; may be repeated.", metavar="WORD")
    ] = None,
    damage: Annotated[Words, typer.Option(help="Damage seen; may be repeated.", metavar="WORD")] = None,
    absent: Annotated[Words, typer.Option(help="Deposit looked for and not there.", metavar="WORD")] = None,
    damage_absent: Annotated[
        Words, typer.Option(help="Damage looked for and not there.", metavar="WORD")
    ] = None,
    bench: Annotated[
        Words, typer.Option(help='Bench test, like "wipe=dry soot".', metavar="TEST=ANSWER")
    ] = None,
    accept: Annotated[
        bool, typer.Option("--accept", help="Confirm the suggestion as shown by 'plugsight show'.")
    ] = False,
    cant_tell: Annotated[
        bool, typer.Option("--cant-tell", help="Looked at, nothing can be told: counts as not seen.")
    ] = False,
    note: Annotated[str, typer.Option(help="A remark for the report.")] = "",
    who: WhoOption = "",
    store: StoreOption = None,
) -> None:
    """Decide what is seen on a plug: confirm, correct, or can't tell.

    Without options it asks. A later decision stands; earlier ones stay in the record.
    """
    to = console()
    with casebook(store) as book:
        case = book.load(inspection)
        given = DecisionWords(
            deposit or (),
            damage or (),
            absent or (),
            damage_absent or (),
            bench or (),
            note,
            cant_tell=cant_tell,
        )
        if plug is None:
            case = ask_undecided(to, book, case, who)
        elif given.empty and not accept:
            show_choices(to)
            case = ask_plug(to, book, case, plug_of(case, plug), who or ask_who())
        else:
            case = _by_options(book, case, plug_of(case, plug), given, who, accept=accept)
        show_inspection(to, case)
        line(to, f"Go on with 'plugsight conclude {case.id}' when every plug is decided.")


def _by_options(
    book: Casebook, case: Inspection, place: Place, given: DecisionWords, who: str, *, accept: bool
) -> Inspection:
    read = read_decision(given)
    deposits = (_suggested(book, case, place), *read.deposits) if accept else read.deposits
    return book.decide(
        case,
        place,
        deposits,
        who=who,
        damage=read.damage,
        absent=read.absent,
        damage_absent=read.damage_absent,
        bench=read.bench,
        cant_tell=read.cant_tell,
        note=read.note,
    )


def _suggested(book: Casebook, case: Inspection, place: Place) -> Deposit:
    """Return the one deposit that may be accepted; blind plugs and open sets have none."""
    if book.blind(case, place):
        raise InputError(
            f"plug {place}",
            "this one is decided before its suggestion is shown (one plug in five)",
            "Name what you see with --deposit.",
        )
    suggestion = book.look(case, place).suggestion
    if not isinstance(suggestion, Suggestion):
        raise InputError(f"plug {place}", "there is no suggestion to accept", suggestion.remedy)
    if len(suggestion.members) != 1:
        raise InputError(
            f"plug {place}",
            "the suggestion leaves several open",
            "Choose one with --deposit.",
            ", ".join(suggestion.members),
        )
    return suggestion.members[0]
