"""Hostile text files: an engine's own file, and the knowledge that the causes and checks come from."""

import random
import shutil
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

from mutate import mutated_bytes, mutated_lines

from plugsight.causes.load_knowledge import load_knowledge
from plugsight.cli.demo_command import DEMO
from plugsight.cli.engine_file import read_engine_file

ENGINE = DEMO.read_text("utf-8")
KNOWLEDGE = Path(str(files("plugsight.causes") / "knowledge"))


def _damaged(text: str, chance: random.Random) -> bytes:
    return mutated_lines(text, chance) if chance.random() < 0.85 else mutated_bytes(text.encode(), chance)


def attack_engine(number: int, chance: random.Random, target: Path) -> Callable[[], object]:
    """Read one hostile engine file."""
    photos = target / "photos"
    if not photos.exists():
        shutil.copytree(DEMO.parent / "photos", photos)
    path = target / "engine.toml"
    path.write_bytes(_damaged(ENGINE, chance))
    if number % 40 == 39:
        path.write_bytes(chance.choice((b"", b"a = " + b"[" * 100_000, b"\xff\xfe\x00a", b"x" * 2_000_000)))
    if number == 0:
        path.write_text(ENGINE, "utf-8")
    return lambda: read_engine_file(path)


def attack_knowledge(number: int, chance: random.Random, target: Path) -> Callable[[], object]:
    """Load one hostile knowledge folder."""
    folder = target / "knowledge"
    if folder.exists():
        shutil.rmtree(folder)
    shutil.copytree(KNOWLEDGE, folder)
    path = folder / chance.choice(sorted(p.name for p in folder.glob("*.toml")))
    if number:
        path.write_bytes(_damaged(path.read_text("utf-8"), chance))
    if number % 40 == 39:
        path.write_bytes(chance.choice((b"", b"a = " + b"[" * 100_000, b"\xff\xfe\x00a")))
    return lambda: load_knowledge(folder)
