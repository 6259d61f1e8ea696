"""The cautions that checks name: own ones, and those of the vocabulary word for word."""

from collections.abc import Mapping
from dataclasses import dataclass

from plugsight.checks.check_files import CautionEntry
from plugsight.vocabulary.cautions import CAUTIONS, Caution
from plugsight.vocabulary.engine import EngineFacts

_SHARED: Mapping[str, Caution] = {c.id: c for c in CAUTIONS}
_FACTS = ("stroke", "cooling", "ignition", "fuel_system", "fuel", "use")


@dataclass(frozen=True, slots=True)
class CheckCaution:
    """One caution in words; ``applies`` holds the facts of the engine that it is for."""

    words: str
    applies: Mapping[str, tuple[str, ...]]

    def stands_for(self, engine: EngineFacts) -> bool:
        """Whether no known fact rules it out: what is not known is warned of."""
        return all(getattr(engine, fact) in (None, *allowed) for fact, allowed in self.applies.items())


def known_caution(entry: CautionEntry) -> CheckCaution:
    """Return the caution an entry gives or names.

    Raises
    ------
    KeyError
        Where ``same_as`` names no caution of the vocabulary (loading reports it before).

    """
    if entry.words is not None:
        return CheckCaution(entry.words, {})
    shared = _SHARED[entry.same_as or ""]
    facts = {fact: tuple(map(str, getattr(shared, fact))) for fact in _FACTS}
    return CheckCaution(shared.text, {fact: allowed for fact, allowed in facts.items() if allowed})


def is_known(entry: CautionEntry) -> bool:
    """Whether ``same_as``, where it is used, names a caution of the vocabulary."""
    return entry.words is not None or entry.same_as in _SHARED
