"""Which damage a rendered picture shows, so that nothing is learnt from what can't be seen."""

from collections.abc import Iterable, Iterator, Mapping

from plugsight.vocabulary.damage import Damage

SHAPES = frozenset({Damage.WORN_ELECTRODES, Damage.BRIDGED_GAP, Damage.BENT_STRAP})
"""Damage that the renderer builds into the shape and so doesn't count in pixels."""
LEAST_AMOUNT, LEAST_CELLS = 0.3, 8


def visible_damage(
    drawn: Iterable[tuple[str, float]], cells: Mapping[str, int] | Mapping[Damage, int]
) -> Iterator[Damage]:
    """Yield damage of which there is enough, by ``drawn`` amount 0..1 for shapes and by quarter pixels for the rest (own choice)."""
    for name, amount in drawn:
        damage = Damage(name)
        shown = damage in SHAPES or dict(cells).get(damage, 0) >= LEAST_CELLS
        if shown and amount >= (LEAST_AMOUNT if damage in SHAPES else 0):
            yield damage
