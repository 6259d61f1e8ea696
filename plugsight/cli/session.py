"""An open casebook for the length of one command, and plugs as a person names them."""

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from plugsight.casebook import Casebook
from plugsight.flow import Inspection, places
from plugsight.store import Store
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.errors import InputError

_PLACE = re.compile(r"\s*(\d{1,3})\s*(.*?)\s*")


@contextmanager
def casebook(where: str | None) -> Iterator[Casebook]:
    """Open the store and close it again."""
    with Store.open(where) as store:
        yield Casebook(store)


def plug_of(inspection: Inspection, written: str) -> Place:
    """Read a plug's name (``3``, ``3 top``); one the engine doesn't have is an ``InputError``."""
    found = _PLACE.fullmatch(written)
    place = Place(int(found[1]), found[2]) if found else None
    known = places(inspection.engine)
    if place is None or place not in known:
        raise InputError(
            "plug", "this engine has no such plug", f"It has: {', '.join(map(str, known))}.", written
        )
    return place


def person_present(ask: bool | None) -> bool:
    """Whether questions may be asked: as told, else whether somebody sits at the terminal."""
    return sys.stdin.isatty() if ask is None else ask
