"""A plug spec from the few words given on a command line, read by the same rules as in an engine file."""

from pydantic import ValidationError

from plugsight.cli.engine_file.layout import PlugPart
from plugsight.cli.engine_file.problems import from_validation, raise_any
from plugsight.cli.engine_file.translate import spec_of
from plugsight.vocabulary.engine import PlugSpec


def spec_from_words(thread: str, gap: str | None) -> PlugSpec:
    """Return the spec; an unknown thread or an unreadable gap is an ``InputError``."""
    given = {"thread": thread} if gap is None else {"thread": thread, "gap": gap}
    try:
        return spec_of(PlugPart.model_validate(given))
    except ValidationError as error:
        raise_any(from_validation("command line", error, given))
        raise
