"""Where knowledge comes from: the short form that stands beside a finding."""

import tomllib
from functools import cache
from importlib.resources import files


@cache
def _short() -> dict[str, str]:
    text = (files("plugsight.causes") / "knowledge" / "sources.toml").read_text(encoding="utf-8")
    return {key: entry["short"] for key, entry in tomllib.loads(text)["source"].items()}


def cite(ids: str) -> str:
    """Return the short citations of blank-separated source ids, joined by ``; ``.

    Raises
    ------
    KeyError
        Where an id is not in ``knowledge/sources.toml``: the knowledge dangles, which its tests catch.

    """
    return "; ".join(_short()[key] for key in ids.split())
