"""Read an engine file and check it as a whole: every problem is named before anything is done."""

import tomllib
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from plugsight.cli.engine_file.layout import FORMAT, EngineFileLayout
from plugsight.cli.engine_file.problems import from_validation, raise_any
from plugsight.cli.engine_file.record import EngineFile
from plugsight.cli.engine_file.translate import translate
from plugsight.vocabulary.errors import InputError

_LARGEST = 1_000_000
"""Bytes: a hand-written file has a few thousand."""


def read_engine_file(path: Path) -> EngineFile:
    """Read one engine file.

    Parameters
    ----------
    path
        A TOML file; photo paths in it are relative to its folder.

    Raises
    ------
    InputError
        The file, or one thing in it, is unusable.
    ManyProblems
        Several things in it are unusable.

    """
    data = _parse(path)
    number = data.get("format", FORMAT)
    if isinstance(number, int) and number > FORMAT:
        raise InputError(
            path.name,
            f"format {number} is newer than this plugsight (it reads up to {FORMAT})",
            "Update plugsight.",
        )
    try:
        layout = EngineFileLayout.model_validate(data)
    except ValidationError as error:
        raise_any(from_validation(path.name, error, data))
        raise  # a validation error always has at least one problem
    file, problems = translate(layout, path)
    raise_any(problems)
    return file


def _parse(path: Path) -> dict[str, Any]:
    try:
        if path.stat().st_size > _LARGEST:
            raise InputError(path.name, "this is too large for an engine file", "Give the .toml file.")
        return tomllib.loads(path.read_bytes().decode())
    except OSError as problem:
        raise InputError(
            str(path), f"the file can't be read ({problem.strerror})", "Check its name and folder."
        ) from problem
    except UnicodeDecodeError as problem:
        raise InputError(path.name, "this is not a text file in UTF-8", "Save it as UTF-8 text.") from problem
    except (tomllib.TOMLDecodeError, RecursionError) as problem:
        raise InputError(
            path.name, f"this is not valid TOML: {problem}", "Correct that line; text needs quotes."
        ) from problem
