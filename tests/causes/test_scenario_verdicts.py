"""What the scenarios say becomes of each plug."""

from plugsight.causes import Causes
from plugsight.verdict import decide

NO_CAUSES = Causes((), separable=True, left_out=0.0)


def wrong(scenarios):
    found = []
    for scenario in scenarios:
        for place, words in scenario.verdict.items():
            action = decide(scenario.evidence, place, NO_CAUSES).action
            if not action.words.startswith(words):
                found.append(f"{scenario.id}, plug {place}: {action.words}, not {words}")
    return found


def test_verdicts_of_the_tuned_scenarios(tuned):
    assert sum(len(s.verdict) for s in tuned) > 80
    assert not wrong(tuned)


def test_verdicts_of_the_sealed_scenarios(sealed):
    assert sum(len(s.verdict) for s in sealed) > 30
    assert not wrong(sealed)


def test_the_files_are_of_the_size_promised(tuned, sealed):
    assert len(tuned) + len(sealed) >= 80
    assert len(sealed) >= 25
    assert not {s.id for s in tuned} & {s.id for s in sealed}
