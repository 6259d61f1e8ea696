"""``plugsight conclude``: causes, next check, verdicts."""

from plugsight.cli.finish import exit_for, stop_if_undecided
from plugsight.cli.options import InspectionArgument, StoreOption
from plugsight.cli.screen import busy, console
from plugsight.cli.session import casebook
from plugsight.cli.show_conclusion import show_conclusion
from plugsight.cli.show_inspection import show_inspection
from plugsight.flow import conclude as work_out


def conclude(inspection: InspectionArgument, store: StoreOption = None) -> None:
    """Work out causes, the next check and each plug's verdict."""
    to = console()
    with casebook(store) as book:
        case = book.load(inspection)
        show_inspection(to, case)
        stop_if_undecided(to, case, f"Decide with 'plugsight decide {case.id}'.")
        with busy("working out causes and checks"):
            conclusion = work_out(case)
        show_conclusion(to, conclusion)
        exit_for(conclusion)
