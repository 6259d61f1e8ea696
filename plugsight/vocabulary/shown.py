"""What a person saw when deciding: plain text and numbers, so that no later room needs the suggestion's types."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ShownToPerson:
    """A copy of what stood on screen. ``blind`` True: the person decided before seeing any suggestion."""

    blind: bool
    suggested: tuple[str, ...] = ()
    """Deposits of the suggested set, most likely first; empty when blind or abstained."""
    chances: tuple[float, ...] = ()
    damage: tuple[str, ...] = ()
    why: tuple[str, ...] = ()
    abstained: str = ""
    model_digest: str = ""
