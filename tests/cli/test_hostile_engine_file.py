"""Whatever stands in an engine file, the answer is the file's content or lines that say what is wrong."""

import contextlib
import random
from pathlib import Path

import pytest

from plugsight.cli.demo_command import DEMO
from plugsight.cli.engine_file import read_engine_file
from plugsight.vocabulary.errors import PlugsightError

CASES = 150
LINES = DEMO.read_text().splitlines()
VALUES = (
    "true",
    "-1",
    "1e999",
    "nan",
    "[]",
    "{}",
    '""',
    '"\\u0000"',
    "[[1]]",
    "1979-05-27",
    '"x" * 3',
    '"9" ',
    "99999999999999999999",
)


def _mutated(chance: random.Random) -> bytes:
    lines = list(LINES)
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(lines))
        match chance.randrange(6):
            case 0:
                del lines[at]
            case 1:
                lines.insert(at, chance.choice(LINES))
            case 2 if "=" in lines[at]:
                lines[at] = f"{lines[at].split('=')[0]}= {chance.choice(VALUES)}"
            case 3:
                cut = chance.randrange(len(lines[at]) + 1)
                lines[at] = lines[at][:cut]
            case 4:
                lines[at] = lines[at].replace("plugs", chance.choice(("plug", "engine", "plugs.decision")))
            case _:
                raw = bytearray(lines[at], "utf-8") or bytearray(b"x")
                raw[chance.randrange(len(raw))] = chance.randrange(256)
                lines[at] = raw.decode("latin-1")
    return "\n".join(lines).encode("utf-8" if chance.random() < 0.8 else "latin-1", "replace")


@pytest.mark.parametrize("seed", range(3))
def test_mutated_file_is_read_or_refused_in_words(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311 - a seed, no secret
    (tmp_path / "photos").symlink_to(DEMO.parent / "photos")
    path = tmp_path / "engine.toml"
    refused = 0
    for _ in range(CASES // 3):
        path.write_bytes(_mutated(chance))
        with contextlib.suppress(PlugsightError):
            read_engine_file(path)
            continue
        refused += 1
    assert refused > CASES // 12  # the mutations do bite
