"""How far a plug has come, in one word and one mark."""

from plugsight.features import Features
from plugsight.flow import PlugCase
from plugsight.readings.record import ReadingKind


def plug_words(case: PlugCase) -> str:
    """Return what has been decided, or what is the next thing to do."""
    decided = case.confirmation
    if decided is None:
        return "decide" if case.photos else "photo or decide"
    if not decided.seen:
        return "can't tell"
    return ", ".join(map(str, (*decided.deposits[:1], *decided.damage)))


def plug_icon(case: PlugCase) -> str:
    """Return the mark: empty ring, half done, or ticked; each has its own outline."""
    if case.confirmation is None:
        return ":material/photo_camera:" if case.photos else ":material/radio_button_unchecked:"
    gauged = any(entry.kind is ReadingKind.GAUGE for entry in case.entries)
    return ":material/check_circle:" if gauged else ":material/contrast:"


def missing_words(case: PlugCase) -> tuple[str, ...]:
    """Return what is still missing on one plug, in the order of the bench."""
    kinds = {entry.kind for entry in case.entries}
    measured = any(isinstance(photo.features, Features) for photo in case.photos)
    wanted = {
        "a photo that can be measured" if case.photos else "a photo": measured,
        "a decision": case.confirmation is not None,
        "the wire gauge": ReadingKind.GAUGE in kinds,
        "resistance": ReadingKind.RESISTANCE in kinds,
        "strap to shell": ReadingKind.CONTINUITY in kinds,
        "insulation": ReadingKind.INSULATION in kinds,
        "the 10x lens and a look all round": any(found.question.name == "LENS" for found in case.bench),
    }
    return tuple(words for words, there in wanted.items() if not there)
