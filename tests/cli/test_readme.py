"""What the README shows is what the program does."""

import re
from pathlib import Path

import pytest

from plugsight.cli.engine_file import read_engine_file
from plugsight.cli.main import COMMANDS
from plugsight.vocabulary.errors import PlugsightError

README = Path(__file__).parents[2] / "README.md"
BLOCK = re.compile(r"```(\w*)\n(.*?)```", re.DOTALL)


def _blocks(language: str) -> list[str]:
    return [text for named, text in BLOCK.findall(README.read_text()) if named == language]


def test_every_command_in_the_readme_exists() -> None:
    shown = {
        match[1]
        for text in _blocks("sh")
        for match in re.finditer(r"(?:^|[ /])plugsight ([a-z]+)", text, re.MULTILINE)
    }
    assert "demo" in shown
    assert shown <= {c.name for c in COMMANDS}


@pytest.mark.parametrize("text", _blocks("toml"))
def test_engine_file_in_the_readme_is_read(text: str, tmp_path: Path) -> None:
    path = tmp_path / "engine.toml"
    path.write_text(text)
    with pytest.raises(PlugsightError) as caught:
        read_engine_file(path)
    # Its photos are not there; nothing else may be wrong with it.
    assert {re.search(r": ([^(]*) \(seen", line)[1] for line in str(caught.value).splitlines()} == {
        "there is no such file"
    }
