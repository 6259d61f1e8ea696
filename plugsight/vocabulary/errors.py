"""Errors a person at a bench can act on.

::

    PlugsightError
    ├── InputError      a file or field is unusable: names it, the rule, what was seen and the remedy
    ├── DecisionMissing a plug nobody decided: no cause may be computed
    └── StoreError      the store cannot be used as it is (newer version, locked, damaged)
"""


class PlugsightError(Exception):
    """Base of everything plugsight raises on purpose."""


class InputError(PlugsightError):
    """Unusable input: one line with place, rule, value seen and remedy."""

    def __init__(self, where: str, rule: str, remedy: str, seen: object = None) -> None:
        self.where = where
        self.rule = rule
        self.remedy = remedy
        self.seen = seen
        saw = "" if seen is None else f" (seen: {seen})"
        super().__init__(f"{where}: {rule}{saw}. {remedy}")


class DecisionMissing(PlugsightError):
    """A plug that nobody has decided stands in the way of a conclusion."""


class StoreError(PlugsightError):
    """The store cannot be used as it is; the message says what to do."""
