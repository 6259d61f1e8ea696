"""``plugsight show``: where one inspection stands."""

from plugsight.cli.options import InspectionArgument, StoreOption
from plugsight.cli.screen import console, heading, line
from plugsight.cli.session import casebook
from plugsight.cli.show_inspection import show_inspection
from plugsight.cli.show_look import show_photo, show_suggestion


def show(inspection: InspectionArgument, store: StoreOption = None) -> None:
    """Show where one inspection stands and what is missing.

    The suggestion of a plug that is decided blind is shown only once it is decided.
    """
    to = console()
    with casebook(store) as book:
        case = book.load(inspection)
        show_inspection(to, case)
        for plug in case.plugs:
            if not plug.photos:
                continue
            heading(to, f"Plug {plug.place}")
            for photo in plug.photos:
                show_photo(to, photo)
            if book.blind(case, plug.place):
                line(to, "Decided by eye first: its suggestion is shown afterwards (one plug in five).")
            else:
                show_suggestion(to, book.look(case, plug.place))
