"""Starts the page's server."""

import os
from pathlib import Path

from streamlit.web import bootstrap

from plugsight.page.options import OPTIONS
from plugsight.page.phone_card import SHARED
from plugsight.page.session import STORE_VARIABLE

SCRIPT = Path(__file__).with_name("script.py")


def serve(
    *, store: str | Path | None = None, port: int = 8501, open_browser: bool = True, phone: bool = False
) -> None:
    """Serve the page until interrupted; on this machine only, unless ``phone`` is asked for.

    Parameters
    ----------
    store
        Folder, file or database URL of the store; None for the user's data folder.
    port
        TCP port on the loopback address.
    open_browser
        Open the page in the default browser.
    phone
        Listen to the machine's network as well. Callers from there see nothing until they scan a code that the page
        shows at this machine (plain HTTP: for a network whose members are trusted).

    """
    if store is not None:
        os.environ[STORE_VARIABLE] = str(store)
    flags = {**OPTIONS, "server.port": port, "server.headless": not open_browser}
    if phone:
        flags["server.address"] = SHARED
    bootstrap.load_config_options({name.replace(".", "_"): value for name, value in flags.items()})
    bootstrap.run(str(SCRIPT), is_hello=False, args=[], flag_options={})
