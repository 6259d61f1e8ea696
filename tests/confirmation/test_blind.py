"""One plug in five is decided before its suggestion is shown, by hash and never by confidence."""

from plugsight.confirmation import decides_blind
from plugsight.vocabulary.engine import Place


def test_about_one_in_five_is_blind_and_the_choice_never_changes() -> None:
    plugs = [(f"job{i}", Place(c)) for i in range(1000) for c in range(1, 5)]
    chosen = [decides_blind(job, place) for job, place in plugs]
    # Binomial(4000, 0.2): mean 800, standard deviation 25.3; five deviations either side.
    assert 673 < sum(chosen) < 927
    assert chosen == [decides_blind(job, place) for job, place in plugs]


def test_the_share_is_a_setting() -> None:
    assert not any(decides_blind("job", Place(c), share=0.0) for c in range(1, 17))
    assert all(decides_blind("job", Place(c), share=1.0) for c in range(1, 17))
