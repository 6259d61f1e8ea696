"""``plugsight page``: the same job in the browser."""

from importlib import import_module
from typing import Annotated

import typer

from plugsight.cli.options import StoreOption


def page(
    port: Annotated[int, typer.Option(help="Port on this computer.", min=1024, max=65535)] = 8501,
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="Open the browser.")] = True,
    phone: Annotated[
        bool,
        typer.Option(
            "--phone/--no-phone",
            help="Let a phone in this network take photos, by a one-time code on the page.",
        ),
    ] = False,
    store: StoreOption = None,
) -> None:
    """Open the same job as a page in the browser, on this computer only unless a phone is let in.

    Stop it with Ctrl+C; nothing entered is lost.
    """
    # Command line and page are neighbours that don't import each other: it is started by name, as a person would.
    import_module("plugsight.page").serve(store=store, port=port, open_browser=browser, phone=phone)
