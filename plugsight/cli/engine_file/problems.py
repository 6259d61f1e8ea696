"""All problems of an engine file at once, each as one line with place, rule and remedy."""

from collections.abc import Mapping, Sequence
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from plugsight.cli.engine_file.layout import EngineFileLayout
from plugsight.cli.engine_file.words import suggest
from plugsight.vocabulary.errors import InputError, PlugsightError

_LONG = 60


class ManyProblems(PlugsightError):
    """Several things in one file are unusable; ``problems`` holds one ``InputError`` each."""

    def __init__(self, problems: Sequence[InputError]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, problems)))


def raise_any(problems: Sequence[InputError]) -> None:
    """Raise one problem as itself, several together, none not at all."""
    if len(problems) == 1:
        raise problems[0]
    if problems:
        raise ManyProblems(problems)


def from_validation(file: str, error: ValidationError, data: Mapping[str, Any]) -> list[InputError]:
    """Say each validation error with its place as a person finds it in the file."""
    found = []
    for item in error.errors():
        loc = item["loc"]
        rule, remedy = _words(item["type"], item["msg"], item.get("ctx", {}), loc)
        whole = isinstance(item["input"], dict | list | tuple) or item["type"] == "missing"
        seen = None if whole or item["type"] == "extra_forbidden" else str(item["input"])[:_LONG]
        found.append(InputError(f"{file}, {_place(loc, data)}", rule, remedy, seen))
    return found


def plug_name(plug: object, number: int) -> str:
    """Name one ``[[plugs]]`` table by its cylinder where it has one, else by its number in the file."""
    if isinstance(plug, Mapping) and isinstance(plug.get("cylinder"), int):
        return f"plug {plug['cylinder']} {plug.get('position', '')}".strip()
    return f"[[plugs]] number {number}"


def _words(kind: str, message: str, ctx: Mapping[str, Any], loc: tuple[int | str, ...]) -> tuple[str, str]:
    if kind == "plugsight":
        return str(ctx["rule"]), str(ctx["remedy"])
    if kind == "missing":
        return "this is missing", "Write it; the README shows a whole engine file."
    if kind == "extra_forbidden":
        return "unknown key", suggest(str(loc[-1]), _keys_beside(loc))
    if kind in {"string_type", "string_sub_type"}:
        return "text in quotes is needed", 'Write it like "0.82 mm" (with quotes and unit).'
    if kind == "literal_error":
        return "this is not one of the choices", f"Use {ctx['expected']}."
    return message[:1].lower() + message[1:], "Correct it in the file."


def _place(loc: tuple[int | str, ...], data: Mapping[str, Any]) -> str:
    parts: list[str] = []
    for index, part in enumerate(loc):
        if isinstance(part, int):
            if index and loc[index - 1] == "plugs":
                parts[-1] = plug_name(data["plugs"][part], part + 1)
            elif parts:
                parts[-1] += f" number {part + 1}"
        elif part not in {"str", "tuple[str, ...]", "date"} and "[" not in part:
            parts.append(part)
    return " > ".join(parts) or "file"


def _keys_beside(loc: tuple[int | str, ...]) -> list[str]:
    model: type[BaseModel] = EngineFileLayout
    for part in loc[:-1]:
        if isinstance(part, int) or part not in model.model_fields:
            continue
        kind = model.model_fields[part].annotation
        for inner in (kind, *get_args(kind)):
            if isinstance(inner, type) and issubclass(inner, BaseModel):
                model = inner
    return list(model.model_fields)
