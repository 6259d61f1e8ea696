"""The causes as a table, for whoever enters which of them a repair proved."""

from plugsight.causes.catalogue import Cause
from plugsight.causes.load_knowledge import catalogue


def known_causes() -> tuple[Cause, ...]:
    """Return all causes that ship with plugsight, in the order of the knowledge files."""
    return tuple(catalogue().causes.values())
