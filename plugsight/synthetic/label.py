"""The label rule. It was written down before any training and is not to be changed to suit a model.

1. A view's share of a deposit is the part of its visible nose pixels on which that deposit lies on top; a plug's share
   is the largest over its views.
2. Bare and light never stand against the others: every nose that is not covered by something else is one of the two.
   The dominant deposit is the other deposit with the largest share, if that is at least 10 %. Below 10 % the plug is
   light where light's share is larger than that of uncovered ceramic, otherwise bare.
3. Severity is dominant share times thickness class (film 0.6, ordinary 0.8, thick 1.0, by the layer's thickness below
   0.35, below 0.7, and above): slight below 35 %, moderate from 35 %, heavy from 70 %. Bare and light have none.
4. Mixed: the second deposit also reaches 10 % and is less than 10 points behind the first (or, between bare and light,
   their shares differ by less than 10 points). Then both labels count as right.

Degenerate case: a plug whose nose is seen in no view has no label.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from plugsight.synthetic.state import DepositLayer
from plugsight.vocabulary.deposits import Deposit

LEAST_SHARE = 0.10
MIXED_WITHIN = 0.10
MODERATE_FROM, HEAVY_FROM = 0.35, 0.70
FILM_BELOW, THICK_FROM = 0.35, 0.70


class Severity(StrEnum):
    """How much of the dominant deposit there is."""

    NONE = "none"
    SLIGHT = "slight"
    MODERATE = "moderate"
    HEAVY = "heavy"


@dataclass(frozen=True, slots=True)
class ViewShares:
    """One view: visible nose pixels, and deposit -> share 0..1 of them, uncovered ceramic left out."""

    nose_pixels: int
    shares: tuple[tuple[Deposit, float], ...]


@dataclass(frozen=True, slots=True)
class PlugLabel:
    """What counts as right for one plug."""

    dominant: Deposit
    second: Deposit | None
    """The other right answer where the case is mixed."""
    share: float
    """Of the dominant deposit, 0..1."""
    severity: Severity
    severity_score: float

    @property
    def mixed(self) -> bool:
        """Whether two labels count as right."""
        return self.second is not None

    @property
    def right(self) -> frozenset[Deposit]:
        """The labels that count as right."""
        return frozenset({self.dominant} | ({self.second} if self.second else set()))


def label_of(views: Sequence[ViewShares], layers: Sequence[DepositLayer]) -> PlugLabel | None:
    """Apply the rule to all views of one plug; ``layers`` give the thickness. ``None`` where no view shows the nose."""
    seen = [view for view in views if view.nose_pixels > 0]
    if not seen:
        return None
    largest = {d: max(dict(view.shares).get(d, 0.0) for view in seen) for d in Deposit}
    uncovered = max(1.0 - sum(share for _, share in view.shares) for view in seen)
    others = sorted(
        ((share, d) for d, share in largest.items() if d not in (Deposit.BARE, Deposit.LIGHT)),
        key=lambda pair: -pair[0],
    )
    (first_share, first), (second_share, second) = others[0], others[1]
    if first_share < LEAST_SHARE:
        bare = max(uncovered, largest[Deposit.BARE])
        light = largest[Deposit.LIGHT]
        order = (Deposit.LIGHT, Deposit.BARE) if light > bare else (Deposit.BARE, Deposit.LIGHT)
        near = abs(light - bare) < MIXED_WITHIN
        return PlugLabel(order[0], order[1] if near else None, max(light, bare), Severity.NONE, 0.0)
    mixed = second_share >= LEAST_SHARE and first_share - second_share < MIXED_WITHIN
    score = first_share * max((thickness_class(la) for la in layers if la.deposit is first), default=1.0)
    return PlugLabel(first, second if mixed else None, first_share, _severity(score), score)


def thickness_class(layer: DepositLayer) -> float:
    """0.6 film, 0.8 ordinary, 1.0 thick."""
    if layer.thickness < FILM_BELOW:
        return 0.6
    return 1.0 if layer.thickness >= THICK_FROM else 0.8


def _severity(score: float) -> Severity:
    if score < MODERATE_FROM:
        return Severity.SLIGHT
    return Severity.HEAVY if score >= HEAVY_FROM else Severity.MODERATE
