"""The model file: skops, never pickle; checked by digest, format, types, catalogue and classes before it is used.

``FORMAT`` numbers the layout of the saved dictionary. Raise it when a key is removed, renamed or changes its meaning;
older files are then refused with the advice to retrain.
"""

import functools
import hashlib
import importlib
import io
import zipfile
from dataclasses import replace
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np

from plugsight.durable import write_whole
from plugsight.features.catalogue import catalogue_digest
from plugsight.segments.model_file import model_path
from plugsight.suggestion.model import DamageModel, DepositModel, Novelty
from plugsight.suggestion.sound import check_sound
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.errors import InputError

FORMAT = 1
NAME = "deposits.skops"
LIMIT_BYTES = 32 * 2**20
LIMIT_UNFOLDED = 256 * 2**20
TRUSTED = (
    "numpy.dtype",
    "plugsight.suggestion.blend.Blend",
    "plugsight.suggestion.corrected.Corrected",
    "plugsight.suggestion.sign.Sign",
    "sklearn.ensemble._hist_gradient_boosting.predictor.TreePredictor",
    "sklearn.tree._tree.Tree",
    "sklearn.utils._bunch.Bunch",
)
"""Types beyond plain numbers, arrays and scikit-learn's public estimators that a model file may hold."""

REMEDY = "Retrain, or put back the model that plugsight came with."


def libraries() -> dict[str, str]:
    """Versions that decide whether a saved estimator means the same here."""
    return {name: version(name) for name in ("numpy", "scikit-learn", "skops")}


def save_model(model: DepositModel, folder: Path) -> DepositModel:
    """Write model and digest into ``folder`` (each file whole or not at all); return the model with its digest."""
    body = {
        "format": FORMAT,
        "classes": [str(c) for c in model.classes],
        "names": list(model.names),
        "catalogue": model.catalogue,
        "estimator": model.estimator,
        "temperature": float(model.temperature),
        "coverage": float(model.coverage),
        "thresholds": model.thresholds,
        "usual": model.usual,
        "novelty": {
            "rows": model.novelty.rows,
            "centre": model.novelty.centre,
            "spread": model.novelty.spread,
            "near": int(model.novelty.near),
            "limit": float(model.novelty.limit),
        },
        "damage": {
            str(name): {"estimator": one.estimator, "threshold": float(one.threshold)}
            for name, one in model.damage.items()
        },
        "trained": model.trained,
        "libraries": dict(model.libraries),
        "learnt": list(model.learnt),
    }
    sio = _skops()
    data = sio.dumps(body, compression=zipfile.ZIP_DEFLATED, compresslevel=9)
    digest = hashlib.sha256(data).hexdigest()
    for name, content in ((NAME, data), (f"{NAME}.sha256", f"{digest}  {NAME}\n".encode())):
        write_whole(folder / name, content)
    return replace(model, digest=digest)


def load_model(folder: Path | None = None) -> DepositModel:
    """Read the model in ``folder`` (the shipped one by default).

    Raises
    ------
    InputError
        Where the file is missing, too large, tampered with, of another format or catalogue, or holds foreign types.

    """
    path = (folder or model_path()) / NAME
    stamp = path.stat().st_mtime_ns if path.exists() else 0
    return _load(path, stamp)


@functools.lru_cache(maxsize=4)
def _load(path: Path, _stamp: int) -> DepositModel:
    where = f"model file {path.name}"
    if not path.exists():
        raise InputError(where, "there is no model here", REMEDY, path.parent)
    if path.stat().st_size > LIMIT_BYTES:
        raise InputError(
            where, f"a model file has at most {LIMIT_BYTES >> 20} MB", REMEDY, path.stat().st_size
        )
    data = path.read_bytes()
    digest = hashlib.sha256(data).hexdigest()
    note = path.with_name(f"{path.name}.sha256")
    noted = note.read_bytes().split() if note.is_file() else []
    if noted[:1] != [digest.encode()]:
        raise InputError(
            where, "the file does not match its digest: it was changed or damaged", REMEDY, digest[:12]
        )
    if _unfolded(data) > LIMIT_UNFOLDED:
        raise InputError(
            where, f"a model unfolds to at most {LIMIT_UNFOLDED >> 20} MB", REMEDY, _unfolded(data)
        )
    body = _read(where, data)
    if body.get("catalogue") != catalogue_digest():
        seen = str(body.get("catalogue"))[:12]
        raise InputError(where, "the model was trained on another feature catalogue", REMEDY, seen)
    try:
        with np.errstate(all="ignore"):
            model = _unpack(body)
            check_sound(model)
    except Exception as error:
        # A damaged part raises whatever it raises: for the person it is one thing, a model that can't be used.
        seen = f"{type(error).__name__}: {str(error).partition(chr(10))[0][:80]}"
        raise InputError(where, "this can't be used as a model", REMEDY, seen) from error
    return replace(model, digest=digest)


def _unfolded(data: bytes) -> int:
    """Bytes that the file's zip says it holds; 0 where it is none."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as whole:
            return sum(one.file_size for one in whole.infolist())
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OSError):
        return 0


def _skops() -> Any:
    """Import skops when a model is read: it imports all of scikit-learn, which costs more than the rest of the program."""
    return importlib.import_module("skops.io")


def _read(where: str, data: bytes) -> dict[str, Any]:
    sio = _skops()
    try:
        foreign = sorted(set(sio.get_untrusted_types(data=data)) - set(TRUSTED))
        body = None if foreign else sio.loads(data, trusted=list(TRUSTED))
    except Exception as error:
        # skops raises whatever the damaged part raises: for the person it is one thing, an unreadable file.
        raise InputError(where, "the file can't be read as a model", REMEDY, type(error).__name__) from error
    if foreign:
        raise InputError(where, "the file holds types a model has no use for", REMEDY, ", ".join(foreign[:3]))
    if not isinstance(body, dict) or body.get("format") != FORMAT:
        seen = body.get("format") if isinstance(body, dict) else type(body).__name__
        raise InputError(where, f"the model's format is not {FORMAT}", REMEDY, seen)
    return body


def _unpack(body: dict[str, Any]) -> DepositModel:
    novelty = body["novelty"]
    return DepositModel(
        classes=tuple(Deposit(c) for c in body["classes"]),
        names=tuple(body["names"]),
        catalogue=body["catalogue"],
        estimator=body["estimator"],
        temperature=body["temperature"],
        coverage=body["coverage"],
        thresholds=np.asarray(body["thresholds"], np.float64),
        usual=np.asarray(body["usual"], np.float32),
        novelty=Novelty(
            rows=np.asarray(novelty["rows"], np.float32),
            centre=np.asarray(novelty["centre"], np.float32),
            spread=np.asarray(novelty["spread"], np.float32),
            near=int(novelty["near"]),
            limit=float(novelty["limit"]),
        ),
        damage={
            Damage(name): DamageModel(one["estimator"], one["threshold"])
            for name, one in body["damage"].items()
        },
        trained=body["trained"],
        libraries=body["libraries"],
        learnt=tuple(body["learnt"]),
    )
