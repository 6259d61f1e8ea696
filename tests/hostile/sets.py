"""Hostile labelled sets, as folders and zips: damaged labels, masks and pictures, foreign names, links, bombs."""

import hashlib
import io
import json
import os
import random
import shutil
import zipfile
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
from mutate import mutated_bytes, mutated_json
from PIL import Image

from plugsight.labels import FORMAT, Grade, LabelledPhoto, LabelledPlug, LabelledSet, SetPicture, write_set
from plugsight.labels.keep import keep_set
from plugsight.labels.name import image_name

GOOD: dict[str, bytes] = {}
NAMES = (
    "../evil.txt", "/etc/evil", "images/../../evil", "images\\..\\evil", "C:\\evil", "images/" + "a" * 64 + ".svg",
    "set.json/", "images/", "con", "x" * 5000, "..", "images/\u202egpj.exe",
)  # fmt: skip


def _good(folder: Path) -> dict[str, bytes]:
    plugs, pictures = [], {}
    for number in (1, 2):
        out = io.BytesIO()
        pixels = np.random.default_rng(number).integers(0, 255, (80, 70, 3), np.uint8)
        Image.fromarray(pixels).save(out, "JPEG")
        labels = np.zeros((80, 70), np.uint8)
        labels[10:40, 10:30] = 1
        data = out.getvalue()
        pictures[image_name(data)] = SetPicture(data, labels, (80, 70))
        photo = LabelledPhoto(
            image_name(data), hashlib.sha256(data).hexdigest(), "side", cleaned=False, values=(1.5, None)
        )
        plugs.append(
            LabelledPlug(
                plug=f"p{number}", engine="e", cylinder=number, position="", deposits=("dry carbon",), damage=(),
                absent=(), damage_absent=(), grade=Grade.EYE, blind=False, suggested=("light",), model_digest="",
                decided="2026-03-04", photos=(photo,),
            )
        )  # fmt: skip
    whole = LabelledSet(
        FORMAT,
        "2026-03-04T12:00:00+00:00",
        "t",
        "CC0",
        "given",
        "c",
        ("a", "b"),
        invented=True,
        plugs=tuple(plugs),
    )
    made = write_set(whole, pictures, folder / "good")
    files = {p.relative_to(made).as_posix(): p.read_bytes() for p in made.rglob("*") if p.is_file()}
    shutil.rmtree(made)
    return files


def _with_mutated_photo(files: dict[str, bytes], chance: random.Random) -> dict[str, bytes]:
    """Damage a picture and set its name and digest right again, so that it gets as far as being decoded."""
    name = chance.choice([n for n in files if n.startswith("images/")])
    data = mutated_bytes(files[name], chance)
    digest = hashlib.sha256(data).hexdigest()
    old = hashlib.sha256(files[name]).hexdigest()
    made = {n: d for n, d in files.items() if n != name} | {name.replace(old, digest): data}
    made["set.json"] = made["set.json"].replace(old.encode(), digest.encode())
    made["parts.coco.json"] = made["parts.coco.json"].replace(old.encode(), digest.encode())
    return made


def _huge_masks(files: dict[str, bytes], chance: random.Random) -> dict[str, bytes]:
    """Masks that claim far more pixels than their pictures have."""
    body = json.loads(files["parts.coco.json"])
    side = chance.choice((5_000, 20_000))
    name = body["images"][0]["file_name"]
    count = chance.choice((2, 40))
    body["images"] = [
        {"id": n, "file_name": name if n == 0 else f"{n}.jpg", "height": side, "width": side}
        for n in range(count)
    ]
    run = {"size": [side, side], "counts": [0, side * side]}
    body["annotations"] = [{"image_id": n, "category_id": 1, "segmentation": run} for n in range(count)]
    return files | {"parts.coco.json": json.dumps(body).encode()}


def attack(number: int, chance: random.Random, target: Path) -> Callable[[], object]:
    """Take in one hostile set; what is kept lies under ``target``."""
    if not GOOD:
        GOOD.update(_good(target))
    os.environ["PLUGSIGHT_LABELS"] = str(target / "kept")
    files = dict(GOOD)
    if number == 0:
        source = _as_folder(files, target / "whole", random.Random(3))  # noqa: S311 - a seed, no secret
        return lambda: keep_set(source)
    match number % 7:
        case 0:
            files["set.json"] = mutated_json(files["set.json"], chance)
        case 1:
            files["parts.coco.json"] = mutated_json(files["parts.coco.json"], chance)
        case 2:
            files = _with_mutated_photo(files, chance)
        case 3:
            files[chance.choice(NAMES)] = b"evil"
        case 4 if number % 5 == 0:
            files = _huge_masks(files, chance)
        case 5:
            name = chance.choice([*files])
            files[name] = mutated_bytes(files[name], chance)
        case _:
            pass
    source = target / f"set{number}.zip"
    if number % 7 in (0, 1, 2, 5) and chance.random() < 0.3:
        source = _as_folder(files, target / f"set{number}", chance)
    else:
        _as_zip(files, source, chance, damage=number % 7 == 6)
    return lambda: keep_set(source)


def _as_folder(files: dict[str, bytes], folder: Path, chance: random.Random) -> Path:
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    if chance.random() < 0.2:
        (folder / "README.txt").unlink(missing_ok=True)
        (folder / "README.txt").symlink_to("/etc/passwd")
    if chance.random() < 0.1:
        os.mkfifo(folder / "images" / "pipe")
    return folder


@cache
def _bomb() -> bytes:
    """Build a zip of a few kilobytes that unfolds to 16 pictures of 59 MB, half of them named by its labels."""
    out, empty = io.BytesIO(), bytes(59 * 2**20)
    digest = hashlib.sha256(empty).hexdigest()
    body = json.loads(GOOD["set.json"])
    body["plugs"][0]["photos"] = [
        body["plugs"][0]["photos"][0] | {"file": f"images/{n:064x}.png", "digest": digest} for n in range(8)
    ]
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("set.json", json.dumps(body))
        for n in range(16):
            made.writestr(f"images/{n:064x}.png", empty)
    return out.getvalue()


def _as_zip(files: dict[str, bytes], source: Path, chance: random.Random, *, damage: bool) -> None:
    if chance.random() < 0.05:
        source.write_bytes(_bomb())
        return
    with zipfile.ZipFile(source, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in files.items():
            made.writestr(name, data)
        if chance.random() < 0.1:
            entry = zipfile.ZipInfo("README.txt")
            entry.external_attr = 0o120777 << 16
            made.writestr(entry, "/etc/passwd")
    if damage:
        source.write_bytes(mutated_bytes(source.read_bytes(), chance))
