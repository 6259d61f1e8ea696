"""Two people on one inspection: the second is told, nothing is silently overwritten."""

from plugsight.vocabulary.errors import StoreError


class Conflict(StoreError):
    """Somebody else wrote first: reload the inspection, look at what changed, decide again."""
