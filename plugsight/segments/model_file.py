"""Where the shipped part network lies, and that it is the one its card names."""

import hashlib
import json
from functools import lru_cache
from pathlib import Path

from plugsight.vocabulary.errors import PlugsightError

FORMAT = 1
"""Number of the card's layout. To raise it: change ``load_model_bytes`` and the training command in one commit."""
NETWORK, CARD = "parts.onnx", "parts.json"


def model_path() -> Path:
    """Return the folder that holds ``parts.onnx`` and ``parts.json``.

    An installed package carries it as ``plugsight/_models``; a checkout has it at its top as ``models``. Raises
    ``PlugsightError`` if neither is there.
    """
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "_models", package.parent / "models"):
        if (folder / NETWORK).is_file():
            return folder
    raise PlugsightError(
        f"The model that finds a plug's parts ({NETWORK}) is missing. Install plugsight again, or run it from a "
        "complete checkout."
    )


@lru_cache(maxsize=1)
def load_model_bytes() -> bytes:
    """Return the network file after checking it against its card; ``PlugsightError`` if they disagree."""
    folder = model_path()
    card = json.loads((folder / CARD).read_text(encoding="utf-8"))
    data = (folder / NETWORK).read_bytes()
    if card.get("format") != FORMAT or card.get("sha256") != hashlib.sha256(data).hexdigest():
        raise PlugsightError(
            f"{folder / NETWORK} is not the file that {CARD} names (damaged, or from another version). "
            "Install plugsight again."
        )
    return data
