"""One finding as it was observed: what, where, and whether it is there."""

from dataclasses import dataclass

from plugsight.vocabulary.engine import Place


@dataclass(frozen=True, slots=True)
class Seen:
    """A finding present or absent. Exactly as deep as its level: plug, cylinder, bank or engine (all empty).

    ``place`` for a plug, ``cylinder`` for a cylinder, ``bank`` (its cylinders) for a bank. ``told`` names the one look
    that several findings follow from, so that they are spoken of, and weighed in the why, as one.
    """

    finding: str
    present: bool
    place: Place | None = None
    cylinder: int | None = None
    bank: tuple[int, ...] = ()
    told: str = ""

    @property
    def spot(self) -> tuple[str, Place | None, int | None, tuple[int, ...]]:
        """What must be the same for two observations to be about the same thing."""
        return self.finding, self.place, self.cylinder, self.bank
