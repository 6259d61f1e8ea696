"""However the page is started, it listens on this machine only and tells nobody."""

import tomllib
from pathlib import Path

from plugsight.page.options import OPTIONS

CONFIG = Path(__file__).parents[2] / ".streamlit" / "config.toml"


def test_streamlit_run_and_plugsight_page_are_set_up_alike():
    flat = {}
    for group, values in tomllib.loads(CONFIG.read_text("utf-8")).items():
        for name, value in values.items():
            inner = value.items() if isinstance(value, dict) else [("", value)]
            flat |= {f"{group}.{name}.{key}".rstrip("."): plain for key, plain in inner}
    assert flat == OPTIONS


def test_it_listens_here_and_sends_nothing():
    assert OPTIONS["server.address"] == "127.0.0.1"
    assert OPTIONS["browser.gatherUsageStats"] is False
