"""One line of the feature catalogue: what a number is, where it is valid, and how to say it at a bench."""

import math
from dataclasses import dataclass

from plugsight.view.record import ViewKind

ALL_VIEWS = (ViewKind.SIDE, ViewKind.OBLIQUE, ViewKind.END)
UPRIGHT_VIEWS = (ViewKind.SIDE, ViewKind.OBLIQUE)
SIDE_ONLY = (ViewKind.SIDE,)

AFTER_CARD = "CIE Lab, D65, 2 degree observer (CIE 15), card at 18 % reflectance"
SAME_PHOTO = "difference of two parts of the same photo, CIE Lab, D65"
OWN_PART = "share of the part's visible pixels"
IN_MM = "band of the lightness in millimetres on the plug, scale from the thread"
OUTLINE = "outline of the part, scale from the thread"


@dataclass(frozen=True, slots=True)
class FeatureEntry:
    """One feature.

    ``low`` and ``high`` bound every value that can occur (values are clipped to them); ``views`` are the kinds of view
    that can show it (NaN in others). ``template`` has the places ``{word}`` and ``{value}``; ``grades`` turn the value
    into the word: pairs of (upper end, word), ascending, the last open. What is called usual in a template is from
    memory, unless it says otherwise. ``on_canonical`` False: needs the full-size view, so it can't be made again from a
    stored crop and no classifier may use it.
    """

    name: str
    unit: str
    low: float
    high: float
    views: tuple[ViewKind, ...]
    reference: str
    template: str
    grades: tuple[tuple[float, str], ...] = ((math.inf, ""),)
    on_canonical: bool = True

    def say(self, value: float) -> str:
        """Return the sentence for ``value``; for NaN, that it could not be seen."""
        if math.isnan(value):
            return f"{self.name.replace('_', ' ')}: not seen in this view"
        word = next(word for upper, word in self.grades if value <= upper)
        return " ".join(self.template.format(word=word, value=value).split())

    def clip(self, value: float) -> float:
        """Return ``value`` within the range; NaN and infinities become NaN."""
        return min(max(value, self.low), self.high) if math.isfinite(value) else math.nan
