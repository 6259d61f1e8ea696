"""``plugsight check`` and ``plugsight repair``: what was found out afterwards."""

from datetime import UTC, datetime
from typing import Annotated

import typer

from plugsight.cli.engine_file.words import suggest
from plugsight.cli.options import InspectionArgument, StoreOption, WhoOption
from plugsight.cli.screen import console, line
from plugsight.cli.session import casebook
from plugsight.cli.show_conclusion import show_conclusion
from plugsight.flow import conclude, undecided
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.outcomes import CheckOutcome, RepairOutcome

Words = list[str] | None


def check(
    inspection: InspectionArgument,
    name: Annotated[
        str, typer.Argument(help="Id of the check, as 'plugsight conclude' shows it.", metavar="CHECK")
    ],
    outcome: Annotated[str, typer.Argument(help="Id of what it showed.", metavar="OUTCOME")],
    cylinder: Annotated[
        int | None, typer.Option(help="Where it was done, if at one cylinder.", min=1)
    ] = None,
    bank: Annotated[int | None, typer.Option(help="Where it was done, if at one bank.", min=1)] = None,
    note: Annotated[str, typer.Option(help="A remark for the report.")] = "",
    store: StoreOption = None,
) -> None:
    """Enter what a check showed; it is evidence for the causes."""
    to = console()
    with casebook(store) as book:
        case = book.load(inspection)
        if cylinder is not None and cylinder > case.engine.cylinders:
            raise InputError(
                "cylinder", f"this engine has cylinders 1 to {case.engine.cylinders}", "Correct it.", cylinder
            )
        case = book.check(case, CheckOutcome(name, outcome, cylinder, bank, note))
        line(to, f"Saved: {name}: {outcome}.")
        if not undecided(case):
            show_conclusion(to, conclude(case))


def repair(
    inspection: InspectionArgument,
    repaired: Annotated[str, typer.Argument(help="What was repaired, in your words.", metavar="WORDS")],
    cause: Annotated[
        Words, typer.Option(help="Id of a cause that the repair proved; may be repeated.", metavar="ID")
    ] = None,
    complaint_gone: Annotated[
        bool | None, typer.Option("--complaint-gone/--complaint-stays", help="Did the complaint go away?")
    ] = None,
    finding_gone: Annotated[
        bool | None, typer.Option("--finding-gone/--finding-stays", help="Did the finding go away?")
    ] = None,
    odometer: Annotated[
        float | None, typer.Option(help="Odometer in km when looked at again.", min=0)
    ] = None,
    who: WhoOption = "",
    store: StoreOption = None,
) -> None:
    """Enter what was repaired and whether it helped."""
    to = console()
    with casebook(store) as book:
        case = book.load(inspection)
        if cause and not undecided(case):
            known = [c.id for c in conclude(case).causes.ranked]
            for wrong in (c for c in cause or () if c not in known):
                raise InputError("cause", "this inspection has no such cause", suggest(wrong, known), wrong)
        when = datetime.now(UTC).astimezone().isoformat(timespec="seconds")
        book.repair(
            case,
            RepairOutcome(repaired, tuple(cause or ()), complaint_gone, finding_gone, odometer, who, when),
        )
        open_still = complaint_gone is None
        line(to, "Saved." + (" Enter later whether the complaint went away." if open_still else ""))
