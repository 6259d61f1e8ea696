"""Which drawn help belongs to what is wrong with a photo."""

from plugsight.report import HelpStep, photo_help

_WORDS = (
    ("card", 0),
    ("profile", 1),
    ("tilt", 1),
    ("lean", 1),
    ("square", 1),
    ("level", 1),
    ("side-on", 1),
    ("light", 2),
    ("bright", 2),
    ("dark", 2),
    ("shadow", 2),
    ("lamp", 2),
    ("closer", 3),
    ("pixel", 3),
    ("blur", 3),
    ("sharp", 3),
    ("focus", 3),
    ("no plug", 0),
    ("not found", 0),
)


def retake_step(words: str) -> HelpStep | None:
    """Return the help step that the words of a refusal or a quality note point to, or None."""
    low = words.lower()
    for word, step in _WORDS:
        if word in low:
            return photo_help()[step]
    return None
