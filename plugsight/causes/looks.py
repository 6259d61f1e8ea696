"""From one person's confirmation of one plug to findings present and absent."""

from collections.abc import Iterator
from typing import TypeAlias

from plugsight.causes.seen import Seen
from plugsight.confirmation.record import Confirmation
from plugsight.vocabulary.bench import BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit

_DAMAGE_IDS = {Damage.CRACKED_NOSE: "cracked_nose", Damage.BENT_STRAP: "bent_strap"}
_COVERS = ("dry_carbon", "wet_oil", "wet_fuel", "ash", "glaze", "lead", "grit")
_UNDER = {
    Deposit.LIGHT: (*_COVERS, "chalk_white", "mineral"),
    Deposit.BARE: _COVERS,
    Deposit.RED_TINT: ("dry_carbon", "wet_oil", "wet_fuel"),
}
"""A dominant deposit leaves the others unobserved, but for these thin looks: where the ceramic itself shows, a
deposit that would cover it is seen to be absent. Bare says nothing of chalk white or of a nose washed by coolant."""

_Meanings: TypeAlias = dict[str, tuple[tuple[str, bool], ...]]
_ANSWERS: dict[BenchQuestion, _Meanings] = {
    BenchQuestion.WIPE: {
        "dry soot": (("dry_carbon", True), ("wet_oil", False), ("wet_fuel", False)),
        "oily smear": (("wet_oil", True),),
        "fuel, dries and smells": (("wet_fuel", True), ("wet_oil", False)),
        "crust stays": (("dry_carbon", False), ("wet_oil", False), ("wet_fuel", False)),
        "comes off clean": (("wet_oil", False), ("ash", False), ("glaze", False)),
    },
    BenchQuestion.SMELL: {
        "nothing": (("wet_fuel", False),),
        "fuel": (("wet_fuel", True),),
        "oil": (("wet_oil", True),),
        "sweet": (("mineral", True),),
    },
    BenchQuestion.SCRATCH: {"gummy": (("wet_oil", True),), "crumbles": (("glaze", False),)},
    BenchQuestion.LENS: {
        "no crack": (("cracked_nose", False),),
        "crack or chip": (("cracked_nose", True),),
        "blisters": (("blistered_nose", True),),
    },
    BenchQuestion.OUTER_INSULATOR: {
        "sound": (("flashover_track", False),),
        "flashover track": (("flashover_track", True),),
        "cracked": (("cracked_nose", True),),
    },
    BenchQuestion.DROPPED: {"no": (("fell", False),), "yes": (("fell", True),)},
    BenchQuestion.GAP_CLOSED_BY: {
        "a fall": (("fell", True), ("bent_strap", True), ("struck", False)),
        "the piston": (("struck", True), ("bent_strap", True), ("fell", False)),
        "not closed": (("bent_strap", False), ("struck", False)),
    },
    BenchQuestion.CAME_OUT: {
        "loose": (("came_loose", True),),
        "normal": (("came_loose", False),),
        "hard": (("came_loose", False),),
        "stuck": (("came_loose", False),),
    },
    BenchQuestion.WELL: {
        "dry": (("well_dirty", False), ("well_oil", False)),
        "oil": (("well_oil", True),),
        "water": (("well_dirty", True),),
        "dirt": (("well_dirty", True),),
    },
    BenchQuestion.GASKET: {
        "one, seated": (("gasket_fault", False),),
        "missing": (("gasket_fault", True),),
        "doubled": (("gasket_fault", True),),
        "taper seat, none": (("gasket_fault", False),),
    },
    BenchQuestion.ELECTRODE_SQUARE: {
        "yes": (("worn_electrodes", False),),
        "rounded": (("worn_electrodes", True),),
    },
    BenchQuestion.METAL_BLUED: {"no": (("blued_metal", False),), "yes": (("blued_metal", True),)},
    BenchQuestion.NOSE_CLEANER: {"no": (("nose_cleaner", False),), "yes": (("nose_cleaner", True),)},
}
_LIQUID = {"fuel": "liquid_fuel", "oil": "liquid_oil", "coolant or water": "liquid_coolant"}


def finding_id(word: Deposit | Damage) -> str:
    """Return the finding's id in the knowledge files for a deposit or a damage."""
    if isinstance(word, Damage) and word in _DAMAGE_IDS:
        return _DAMAGE_IDS[word]
    return word.value.replace(" ", "_")


def looks(confirmation: Confirmation, *, compared: bool = True) -> Iterator[Seen]:
    """Yield what one confirmation says. A finding confirmed present wins over an answer that denies it.

    Nothing comes from a plug marked "can't tell". A plug that is not compared with its set (moved, newer, another
    type) still tells of liquid in its cylinder; one that was cleaned before it was looked at shows no deposit any
    more, so only damage counts.
    """
    yield from _liquid(confirmation)
    if not confirmation.seen or not compared:
        return
    cleaned = confirmation.answer(BenchQuestion.CLEANED_BEFORE_PHOTO) == "yes"
    here: dict[str, bool] = {}
    for deposit in () if cleaned else confirmation.deposits:
        here[finding_id(deposit)] = True
    for damage in confirmation.damage:
        here[finding_id(damage)] = True
    answers = [
        meaning
        for test in confirmation.bench
        for meaning in _ANSWERS.get(test.question, {}).get(test.answer, ())
    ]
    here |= {finding: True for finding, present in answers if present}
    gone = [finding for finding, present in answers if not present]
    gone += [finding_id(word) for word in confirmation.absent]
    gone += [finding_id(word) for word in confirmation.damage_absent]
    for finding in gone:
        here.setdefault(finding, False)
    for finding, present in here.items():
        yield Seen(finding, present, place=confirmation.place)
    if confirmation.dominant in _UNDER and not cleaned:
        for finding in _UNDER[confirmation.dominant]:
            if finding not in here:
                yield Seen(
                    finding, present=False, place=confirmation.place, told=f"a {confirmation.dominant} nose"
                )


def _liquid(confirmation: Confirmation) -> Iterator[Seen]:
    answer = confirmation.answer(BenchQuestion.LIQUID)
    if answer in (*_LIQUID, "none"):
        for word, finding in _LIQUID.items():
            if answer in (word, "none"):
                yield Seen(finding, answer == word, cylinder=confirmation.place.cylinder)
