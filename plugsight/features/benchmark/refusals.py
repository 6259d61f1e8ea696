"""Refusals judged: one is right when the truth breaks the limit that it names."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from plugsight.features.benchmark.case import Case
from plugsight.features.benchmark.figures import Share
from plugsight.features.geometry import PROFILE_LIMIT_DEG, TILT_LIMIT_DEG
from plugsight.view.fitness import NEEDED_PX_PER_MM

MARGIN_DEG = 2.0
"""An angle this near its limit counts as over it: the picture shows tilt and profile no better."""
NARROW_MM = 0.25
"""A gap under this, seen at 28 pixels per mm, is 7 pixels wide and may look joined."""
SHOWN_MM = 0.3
"""An electrode of which less than this shows above the shell's rim can't be told from the rim: 8 pixels at 28 per mm."""
SOFT_MM = 1.0
"""A focus this far off the tip blurs edges by several pixels at a phone's aperture."""


def _tilted(case: Case) -> bool:
    return case.truth.kind != "side" or abs(case.truth.tilt_deg) > TILT_LIMIT_DEG - MARGIN_DEG


def _turned(case: Case) -> bool:
    t = case.truth
    return t.off_profile_deg > PROFILE_LIMIT_DEG - MARGIN_DEG or not t.gap_axial or t.electrodes > 1


def _joined(case: Case) -> bool:
    return case.truth.gap_wire_mm < NARROW_MM or not case.truth.gap_axial


def _soft(case: Case) -> bool:
    return abs(case.truth.focus_error_mm) > SOFT_MM or case.truth.px_per_mm < NEEDED_PX_PER_MM


def _hidden(case: Case) -> bool:
    return case.truth.electrode_shown_mm < SHOWN_MM


NAMED: tuple[tuple[str, Callable[[Case], bool]], ...] = (
    ("degrees to the line of sight", _tilted),
    ("from profile", _turned),
    ("leg stands in front", _turned),
    ("over the electrode's face", _turned),
    ("electrode is not seen", _hidden),
    ("look joined", _joined),
    ("can't be told from what is round", _soft),
    ("end view", lambda case: case.truth.kind == "end"),
)
"""Words of a refusal and the limit that they name; a refusal in other words (nothing found, no scale) is never right here."""


def why(case: Case) -> str:
    """Room and reason of a picture without a gap."""
    return f"{case.stage or 'features'}: {case.reason or case.gap_reason}"


def is_right(case: Case) -> bool:
    """Whether the truth breaks the limit that the refusal names."""
    said = case.reason or case.gap_reason
    return any(words in said and broken(case) for words, broken in NAMED)


def lines(cases: Sequence[Case], fit: Sequence[Case]) -> Iterator[str]:
    """Yield figures of refusals; ``fit`` are the pictures whose truth meets the stated limits."""
    yield f"answered of those within the limits and 12 deg: {Share(sum(c.answered for c in fit), len(fit))} (goal 90 %)"
    seen = [c for c in fit if not _hidden(c)]
    yield f"  of these, with at least {SHOWN_MM} mm of electrode in sight: {Share(sum(c.answered for c in seen), len(seen))}"
    for reason, count in Counter(why(c) for c in fit if not c.answered).most_common(12):
        yield f"  refused {count}: {reason}"
    refused = [c for c in cases if not c.answered]
    yield f"right refusals (the truth breaks the limit named), all refused: {Share(sum(map(is_right, refused)), len(refused))}"
    for words, _ in NAMED:
        held = [c for c in refused if words in (c.reason or c.gap_reason)]
        if held:
            yield f"  '... {words} ...': {Share(sum(map(is_right, held)), len(held))}"
    for title, broken in (
        ("radial gap", lambda c: not c.truth.gap_axial),
        ("tilt over 14 deg", lambda c: c.truth.kind == "side" and abs(c.truth.tilt_deg) > 14.0),
        (
            "strap over 40 deg from profile",
            lambda c: c.truth.kind == "side" and c.truth.off_profile_deg > 40.0,
        ),
    ):
        held = [c for c in cases if broken(c)]
        yield f"{title} refused: {Share(sum(not c.answered for c in held), len(held))}"
