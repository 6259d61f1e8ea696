import math

import pytest

from plugsight.features import CANONICAL_NAMES, CATALOGUE, catalogue_digest, entry_of
from plugsight.features import catalogue as catalogue_module


def test_names_are_unique_and_plain() -> None:
    names = [e.name for e in CATALOGUE]
    assert len(set(names)) == len(names)
    assert all(name.isidentifier() for name in names)


@pytest.mark.parametrize("entry", CATALOGUE, ids=lambda e: e.name)
def test_every_entry_has_a_range_a_view_and_a_sentence_over_all_of_it(entry) -> None:
    assert entry.low < entry.high
    assert entry.views
    assert entry.reference
    ends = [upper for upper, _ in entry.grades]
    assert ends == sorted(ends)
    assert math.isinf(ends[-1])
    for k in range(11):
        sentence = entry.say(entry.low + (entry.high - entry.low) * k / 10)
        assert "{" not in sentence
        assert "  " not in sentence
        assert len(sentence) < 160


def test_a_value_that_was_not_seen_says_so() -> None:
    assert "not seen" in entry_of("nose_L").say(math.nan)


def test_sentence_of_a_sooty_nose() -> None:
    assert entry_of("nose_L").say(12.0).startswith("nose very dark (L* 12;")


def test_values_are_clipped_and_infinities_are_missing() -> None:
    entry = entry_of("nose_dark_share")
    assert entry.clip(1.7) == 1.0
    assert entry.clip(-0.1) == 0.0
    assert math.isnan(entry.clip(math.inf))
    assert math.isnan(entry.clip(math.nan))


def test_what_needs_the_full_size_view_is_kept_from_classifiers() -> None:
    assert "gap_mm" not in CANONICAL_NAMES
    assert "gap_coarse" in CANONICAL_NAMES


def test_the_digest_changes_with_the_method_number(monkeypatch) -> None:
    before = catalogue_digest()
    monkeypatch.setattr(catalogue_module, "METHOD", catalogue_module.METHOD + 1)
    assert catalogue_digest() != before


def test_unknown_name() -> None:
    with pytest.raises(KeyError):
        entry_of("nose_smell")
