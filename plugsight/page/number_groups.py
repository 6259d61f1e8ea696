"""Cylinder numbers as people write them: ``1 3 5 | 2 4 6``."""

import re

from plugsight.vocabulary.errors import InputError

Groups = tuple[tuple[int, ...], ...]


def read_groups(text: str, field: str) -> Groups:
    """Return groups of whole numbers; groups are parted by ``|`` or ``;``, numbers by blanks, commas or dashes."""
    groups = []
    for part in re.split(r"[|;]", text):
        words = [word for word in re.split(r"[\s,\-]+", part) if word]
        wrong = [word for word in words if not (word.isdecimal() and len(word) < 3)]
        if wrong:
            raise InputError(
                field, "cylinders are whole numbers", "Write them like: 1 3 5 | 2 4 6.", wrong[0]
            )
        if words:
            groups.append(tuple(int(word) for word in words))
    return tuple(groups)


def write_groups(groups: Groups) -> str:
    """Write groups so that ``read_groups`` reads them back."""
    return " | ".join(" ".join(map(str, group)) for group in groups)
