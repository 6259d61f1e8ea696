"""Where the shipped part networks lie, and that they are the ones their card names."""

import hashlib
import json
from functools import lru_cache
from pathlib import Path

from plugsight.vocabulary.errors import PlugsightError

FORMAT = 1
"""Number of the card's layout. To raise it: change ``load_model_bytes`` and the training command in one commit."""
CARD = "parts.json"
CANONICAL_NETWORK, TIP_NETWORK = "parts.onnx", "tip.onnx"


def model_path() -> Path:
    """Return the folder that holds ``parts.json`` and the networks it names.

    An installed package carries it as ``plugsight/_models``; a checkout has it at its top as ``models``. Raises
    ``PlugsightError`` if neither is there.
    """
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "_models", package.parent / "models"):
        if (folder / CARD).is_file():
            return folder
    raise PlugsightError(
        f"The models that find a plug's parts ({CARD}) are missing. Install plugsight again, or run it from a complete "
        "checkout."
    )


@lru_cache(maxsize=4)
def load_model_bytes(name: str, named_by: str = CARD) -> bytes:
    """Return a network file after checking it against its card; ``PlugsightError`` if they disagree."""
    folder = model_path()
    card = json.loads((folder / named_by).read_text(encoding="utf-8"))
    path = folder / name
    data = path.read_bytes() if path.is_file() else b""
    if card.get("format") != FORMAT or card.get("sha256", {}).get(name) != hashlib.sha256(data).hexdigest():
        raise PlugsightError(
            f"{path} is not the file that {named_by} names (missing, damaged, or from another version). "
            "Install plugsight again."
        )
    return data
