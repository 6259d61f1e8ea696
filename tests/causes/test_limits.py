"""What is left out when too much is present at once."""

from plugsight.causes.limits import MOST_ON_A_CYLINDER, MOST_ON_THE_ENGINE, over_limit
from plugsight.causes.seen import Seen
from plugsight.vocabulary.engine import Place

LEAKS = {f"f{i}": 0.01 * (i + 1) for i in range(20)}


def left_out(seen, couples=lambda _: True):
    return {s.finding for s in over_limit(seen, LEAKS.__getitem__, couples)}


def test_the_least_telling_of_a_cylinder_go():
    seen = [Seen(f"f{i}", present=True, place=Place(1, "ab"[i % 2])) for i in range(20)]
    assert left_out(seen) == {f"f{i}" for i in range(MOST_ON_A_CYLINDER, 20)}


def test_cylinders_are_counted_apart_and_absent_findings_not_at_all():
    few = [Seen(f"f{i}", present=True, cylinder=1 + i % 2) for i in range(2 * MOST_ON_A_CYLINDER)]
    gone = [Seen(f"f{i}", present=False, cylinder=1) for i in range(20)]
    assert not left_out([*few, *gone])


def test_of_the_engine_only_what_couples_its_cylinders_counts():
    seen = [Seen(f"f{i}", present=True) for i in range(20)]
    assert left_out(seen) == {f"f{i}" for i in range(MOST_ON_THE_ENGINE, 20)}
    assert not left_out(seen, couples=lambda _: False)
