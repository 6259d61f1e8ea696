"""Starts the page's server."""

import os
from pathlib import Path

from streamlit.web import bootstrap

from plugsight.page.options import OPTIONS
from plugsight.page.session import STORE_VARIABLE

SCRIPT = Path(__file__).with_name("script.py")


def serve(*, store: str | Path | None = None, port: int = 8501, open_browser: bool = True) -> None:
    """Serve the page on this machine only until interrupted.

    Parameters
    ----------
    store
        Folder, file or database URL of the store; None for the user's data folder.
    port
        TCP port on the loopback address.
    open_browser
        Open the page in the default browser.

    """
    if store is not None:
        os.environ[STORE_VARIABLE] = str(store)
    flags = {**OPTIONS, "server.port": port, "server.headless": not open_browser}
    bootstrap.load_config_options({name.replace(".", "_"): value for name, value in flags.items()})
    bootstrap.run(str(SCRIPT), is_hello=False, args=[], flag_options={})
