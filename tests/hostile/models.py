"""Hostile model files: damaged from outside, and damaged inside with a digest that fits."""

import hashlib
import io
import random
import zipfile
from collections.abc import Callable
from pathlib import Path

import numpy as np
from mutate import mutated_bytes, mutated_json
from sklearn.ensemble import HistGradientBoostingClassifier

from plugsight.features.catalogue import catalogue_digest
from plugsight.suggestion.chances import KINDS
from plugsight.suggestion.model import DepositModel, Novelty
from plugsight.suggestion.model_file import NAME, _load, libraries, load_model, save_model
from plugsight.vocabulary.deposits import Deposit

GOOD: dict[str, bytes] = {}
COLUMNS = 12


def _good(folder: Path) -> None:
    rng = np.random.default_rng(1)
    classes = tuple(Deposit)[:3]
    x = rng.normal(size=(90, COLUMNS + len(KINDS))).astype(np.float32)
    y = np.array([str(c) for c in classes] * 30)
    estimator = HistGradientBoostingClassifier(max_iter=4, max_leaf_nodes=6).fit(x, y)
    model = DepositModel(
        classes=classes,
        names=tuple(f"f{n}" for n in range(COLUMNS)),
        catalogue=catalogue_digest(),
        estimator=estimator,
        temperature=1.0,
        coverage=0.95,
        thresholds=np.full(3, 0.5),
        usual=np.zeros(COLUMNS, np.float32),
        novelty=Novelty(x[:, :COLUMNS], x[:, :COLUMNS].mean(axis=0), x[:, :COLUMNS].std(axis=0), 5, 9.0),
        damage={},
        trained="2026-01-02",
        libraries=libraries(),
        learnt=(),
        digest="",
    )
    save_model(model, folder / "good")
    for name in (NAME, f"{NAME}.sha256"):
        GOOD[name] = (folder / "good" / name).read_bytes()


def _inside(raw: bytes, chance: random.Random) -> bytes:
    """Damage one member of the file's zip."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as whole, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        names = whole.namelist()
        hit = "schema.json" if chance.random() < 0.6 else chance.choice(names)
        for name in names:
            data = whole.read(name)
            if name == hit:
                data = mutated_json(data, chance) if name.endswith("json") else mutated_bytes(data, chance)
            made.writestr(name, data)
        if chance.random() < 0.1:
            made.writestr("../evil", b"evil")
        if chance.random() < 0.03:
            made.writestr("bomb.npy", bytes(900 * 2**20))
    return out.getvalue()


def attack(number: int, chance: random.Random, target: Path) -> Callable[[], object]:
    """Load one hostile model; one that is taken must also be able to answer."""
    if not GOOD:
        _good(target)
    folder = target / "model"
    folder.mkdir(exist_ok=True)
    kind = chance.random()
    data, note = GOOD[NAME], GOOD[f"{NAME}.sha256"]
    if number == 0:
        pass
    elif kind < 0.7:
        data = _inside(data, chance) if kind < 0.5 else mutated_bytes(data, chance)
        note = f"{hashlib.sha256(data).hexdigest()}  {NAME}\n".encode()
    elif kind < 0.85:
        data = mutated_bytes(data, chance)
    else:
        note = chance.choice((b"", b"\n", b"\xff\xfe", b"x" * 100, mutated_bytes(note, chance)))
    (folder / NAME).write_bytes(data)
    (folder / f"{NAME}.sha256").write_bytes(note)
    _load.cache_clear()

    def use() -> None:
        rows = np.random.default_rng(number).normal(size=(4, COLUMNS + len(KINDS)))
        load_model(folder).estimator.predict_proba(rows.astype(np.float32))

    return use
