"""Records to the store's plain JSON and back.

Stored layouts carry ``FORMAT``. Raise it when a stored record's field is removed, renamed or changes its meaning, and
teach ``from_json`` the older numbers; a new field with a default needs no new number.
"""

import functools
import json
from dataclasses import asdict, dataclass, fields
from datetime import datetime
from typing import Any, TypeVar, cast, get_type_hints

import cv2
import numpy as np
from numpy.typing import NDArray
from pydantic import TypeAdapter, ValidationError

from plugsight.confirmation import Confirmation, confirm
from plugsight.features import Features
from plugsight.flow import PhotoLook
from plugsight.vocabulary.engine import Context, EngineFacts, Meter, PlugSpec
from plugsight.vocabulary.errors import StoreError
from plugsight.vocabulary.refusal import NotFound

FORMAT = 1
PICTURES = ("canonical", "overlay")
"""Fields of ``Features`` kept as picture files beside the JSON."""

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Facts:
    """What is known of an engine before any plug is looked at."""

    engine: EngineFacts
    spec: PlugSpec
    context: Context
    meter: Meter


def to_json(record: Any) -> str:
    """Write one record (a dataclass of plain values) as JSON with its format number."""
    return json.dumps({"format": FORMAT, "body": asdict(record)}, ensure_ascii=False)


def from_json(kind: type[T], text: str) -> T:
    """Read one record back; ``StoreError`` where it comes from a newer version or is damaged."""
    return cast("T", _validate(kind, _body(text)))


def confirmation_to_json(confirmation: Confirmation) -> str:
    """Write a decision; the gate itself is not stored."""
    plain = {f.name: getattr(confirmation, f.name) for f in fields(confirmation) if f.name != "gate"}
    plain["place"], plain["shown"] = asdict(confirmation.place), asdict(confirmation.shown)
    plain["bench"] = [asdict(b) for b in confirmation.bench]
    return json.dumps({"format": FORMAT, "body": plain}, ensure_ascii=False)


def confirmation_from_json(text: str) -> Confirmation:
    """Read a decision back through the gate, so that a damaged one is refused like a new one."""
    body = _body(text)
    hints = get_type_hints(Confirmation)
    part = {k: _validate(hints[k], body[k]) for k in body if k not in ("when", "decision")}
    return confirm(
        part.pop("place"),
        part.pop("deposits"),
        when=datetime.fromisoformat(body["when"]),
        cant_tell=body["decision"] == "can't tell",
        **part,
    )


def look_to_json(look: PhotoLook) -> str:
    """Write what one photo showed, without its pictures."""
    seen = look.features
    if isinstance(seen, NotFound):
        body: dict[str, Any] = {"refused": asdict(seen)}
    else:
        body = {"features": {k: v for k, v in asdict(seen).items() if k not in PICTURES}}
    return json.dumps({"format": FORMAT, "body": {"cleaned": look.cleaned, **body}}, ensure_ascii=False)


def look_from_json(
    text: str, name: str, digest: str, canonical: bytes | None, overlay: bytes | None
) -> PhotoLook:
    """Read back what one photo showed; pictures are PNG or JPEG bytes."""
    body = _body(text)
    if "refused" in body:
        return PhotoLook(name, digest, body["cleaned"], _validate(NotFound, body["refused"]))
    hints = get_type_hints(Features)
    part: dict[str, Any] = {k: _validate(hints[k], v) for k, v in body["features"].items() if k in hints}
    part |= {"canonical": decode_picture(canonical), "overlay": decode_picture(overlay)}
    return PhotoLook(name, digest, body["cleaned"], Features(**part))


def encode_picture(pixels: NDArray[np.uint8], ending: str) -> bytes:
    """Encode an sRGB picture ``(rows, cols, 3)`` as ``.png`` or ``.jpg``."""
    done, data = cv2.imencode(ending, cv2.cvtColor(pixels, cv2.COLOR_RGB2BGR))
    if not done:
        raise StoreError("a picture could not be encoded. Report this with the photo's name.")
    return data.tobytes()


def decode_picture(data: bytes | None) -> NDArray[np.uint8]:
    """Decode a kept picture to sRGB ``(rows, cols, 3)``; an empty picture where none was kept."""
    if data is None:
        return np.zeros((1, 1, 3), np.uint8)
    pixels = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    if pixels is None:
        raise StoreError("a kept picture is damaged. Restore the store from a back-up.")
    return np.asarray(cv2.cvtColor(pixels, cv2.COLOR_BGR2RGB), np.uint8)


def _body(text: str) -> Any:
    whole = json.loads(text)
    if whole["format"] > FORMAT:
        raise StoreError("this record was written by a newer plugsight. Update plugsight and open it again.")
    return whole["body"]


@functools.cache
def _adapter(kind: Any) -> TypeAdapter[Any]:
    return TypeAdapter(kind)


def _validate(kind: Any, value: Any) -> Any:
    try:
        return _adapter(kind).validate_python(value)
    except ValidationError as error:
        raise StoreError(
            f"a stored record is damaged: {error.errors()[0]['msg']}. Restore a back-up."
        ) from error
