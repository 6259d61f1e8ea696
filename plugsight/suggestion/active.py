"""Which model is in use: the shipped one, or one of the shop's own that proved better; going back is one step.

``<user data>/plugsight/models/in_use.json`` holds the digests of the shop's models in the order they were promoted, the
last in use; each lies in a folder named by its digest. An empty or missing list means the shipped model.
"""

import json
import os
from pathlib import Path

import platformdirs

from plugsight.durable import write_whole
from plugsight.segments.model_file import model_path
from plugsight.suggestion.model_file import NAME, load_model
from plugsight.vocabulary.errors import InputError

IN_USE = "in_use.json"


def shop_models() -> Path:
    """Folder of the shop's own models; ``PLUGSIGHT_MODELS`` names another one."""
    named = os.environ.get("PLUGSIGHT_MODELS")
    return Path(named) if named else platformdirs.user_data_path("plugsight", appauthor=False) / "models"


def active_folder() -> Path:
    """Folder of the model in use."""
    promoted = _promoted()
    return shop_models() / promoted[-1] if promoted else model_path()


def promote(folder: Path) -> str:
    """Put the model in ``folder`` to use; return its digest. The model is checked and copied first.

    Raises
    ------
    InputError
        Where the model is damaged, foreign, or of another catalogue; the one in use then stays.

    """
    digest = load_model(folder).digest
    home = shop_models() / digest[:16]
    for name in (NAME, f"{NAME}.sha256", "deposits.card.md"):
        if (folder / name).exists() and folder.resolve() != home.resolve():
            _kept(home / name, (folder / name).read_bytes())
    kept = [d for d in _promoted() if d != digest[:16]]
    _write([*kept, digest[:16]])
    return digest


def roll_back() -> str:
    """Go back to the model used before; return the digest now in use.

    Raises
    ------
    InputError
        Where the shipped model is in use already.

    """
    promoted = _promoted()
    if not promoted:
        raise InputError(
            "model", "the shipped model is in use: there is nothing to go back to", "Nothing was changed."
        )
    _write(promoted[:-1])
    return load_model(active_folder()).digest


def _promoted() -> list[str]:
    path = shop_models() / IN_USE
    try:
        listed: object = json.loads(path.read_text("utf-8"))
    except FileNotFoundError:
        return []
    except (OSError, ValueError) as error:
        raise InputError(
            str(path), "the list of models can't be read", "Delete it to use the shipped model."
        ) from error
    names = [d for d in listed if isinstance(d, str) and d.isalnum()] if isinstance(listed, list) else None
    if not isinstance(listed, list) or names is None or len(names) != len(listed):
        raise InputError(str(path), "the list of models is damaged", "Delete it to use the shipped model.")
    return names


def _write(promoted: list[str]) -> None:
    _kept(shop_models() / IN_USE, json.dumps(promoted).encode())


def _kept(path: Path, data: bytes) -> None:
    try:
        write_whole(path, data)
    except OSError as error:
        raise InputError(
            str(path),
            f"the file can't be written ({error.strerror})",
            "Check free space and write access, then try again; the model in use has not changed.",
        ) from error
