"""Catalogue entries for colour: lightness, hue, and the shares of a part that have a colour the trade names."""

import math

from plugsight.features.entry import AFTER_CARD, ALL_VIEWS, OWN_PART, SAME_PHOTO, FeatureEntry

INF = math.inf
DARKNESS = ((22.0, "very dark"), (38.0, "dark"), (58.0, "mid-toned"), (76.0, "light"), (INF, "very light"))
REDNESS = ((-4.0, "greenish"), (6.0, "neither red nor green"), (14.0, "reddish"), (INF, "clearly red"))
YELLOWNESS = ((-4.0, "bluish"), (6.0, "neutral"), (18.0, "yellowish"), (INF, "clearly yellow or brown"))
AMOUNT = ((0.03, "hardly any"), (0.2, "some"), (0.5, "much"), (0.85, "most"), (INF, "nearly all"))

PARTS = {
    "nose": "nose",
    "centre": "centre electrode",
    "strap": "strap",
    "face": "shell face",
    "thread": "thread metal",
}
USUAL_L = {
    "nose": "a light, normal nose reads about 50 to 80",
    "centre": "worked nickel reads about 30 to 60",
    "strap": "worked nickel reads about 30 to 60",
    "face": "a normal shell face reads about 20 to 50",
    "thread": "bare shell metal reads about 40 to 70",
}


def _part(part: str, said: str) -> tuple[FeatureEntry, ...]:
    return (
        FeatureEntry(f"{part}_L", "L*", 0, 100, ALL_VIEWS, AFTER_CARD,
                     f"{said} {{word}} (L* {{value:.0f}}; {USUAL_L[part]})", DARKNESS),
        FeatureEntry(f"{part}_a", "a*", -60, 80, ALL_VIEWS, AFTER_CARD,
                     f"{said} {{word}} (a* {{value:.0f}}; grey is 0)", REDNESS),
        FeatureEntry(f"{part}_b", "b*", -60, 80, ALL_VIEWS, AFTER_CARD,
                     f"{said} {{word}} (b* {{value:.0f}}; grey is 0, tan about 10 to 20)", YELLOWNESS),
        FeatureEntry(f"{part}_L_p10", "L*", 0, 100, ALL_VIEWS, AFTER_CARD,
                     f"darkest tenth of the {said} is {{word}} (L* {{value:.0f}})", DARKNESS),
        FeatureEntry(f"{part}_L_p90", "L*", 0, 100, ALL_VIEWS, AFTER_CARD,
                     f"lightest tenth of the {said} is {{word}} (L* {{value:.0f}})", DARKNESS),
    )  # fmt: skip


def _compared(name: str, first: str, second: str) -> FeatureEntry:
    return FeatureEntry(
        name, "L*", -100, 100, ALL_VIEWS, SAME_PHOTO,
        f"{first} {{word}} {second} ({{value:+.0f}} L*)",
        ((-25.0, "much darker than"), (-8.0, "darker than"), (8.0, "about as light as"), (25.0, "lighter than"),
         (INF, "much lighter than")),
    )  # fmt: skip


def _share(name: str, colour: str, said: str, usual: str) -> FeatureEntry:
    return FeatureEntry(
        name, "share", 0, 1, ALL_VIEWS, OWN_PART,
        f"{{word}} of the {said} is {colour} ({{value:.0%}}; {usual})", AMOUNT,
    )  # fmt: skip


COLOUR_ENTRIES: tuple[FeatureEntry, ...] = (
    *(entry for part, said in PARTS.items() for entry in _part(part, said)),
    FeatureEntry("nose_chroma", "C*", 0, 100, ALL_VIEWS, AFTER_CARD,
                 "nose colour {word} (chroma {value:.0f}; a light tan nose about 8 to 20)",
                 ((6.0, "nearly grey"), (14.0, "weak"), (26.0, "clear"), (INF, "strong"))),
    FeatureEntry("nose_hue", "deg", 0, 360, ALL_VIEWS, AFTER_CARD,
                 "nose hue {word} ({value:.0f} degrees; tan is about 60 to 85)",
                 ((45.0, "red"), (62.0, "orange"), (82.0, "tan to brown"), (105.0, "yellow"), (200.0, "green"),
                  (290.0, "blue"), (330.0, "violet"), (INF, "red"))),
    FeatureEntry("nose_L_spread", "L*", 0, 100, ALL_VIEWS, AFTER_CARD,
                 "nose lightness {word} (middle half spans {value:.0f} L*)",
                 ((6.0, "very even"), (14.0, "fairly even"), (26.0, "uneven"), (INF, "very uneven"))),
    FeatureEntry("nose_colour_spread", "dE", 0, 100, ALL_VIEWS, AFTER_CARD,
                 "nose hue {word} (spread {value:.0f} in a*b*)",
                 ((3.0, "even"), (7.0, "slightly mixed"), (INF, "mixed"))),
    _compared("nose_vs_strap", "nose", "the strap"),
    _compared("nose_vs_face", "nose", "the shell face"),
    _compared("nose_vs_thread", "nose", "the thread's metal"),
    _compared("strap_vs_thread", "strap", "the thread's metal"),
    _compared("face_vs_thread", "shell face", "the thread's metal"),
    _share("nose_dark_share", "dark (under L* 30)", "nose", "a normal nose under 5 %"),
    _share("nose_white_share", "white or pale grey", "nose", "bare or bleached ceramic most of it"),
    _share("nose_grey_share", "mid grey", "nose", "thin grey deposit or shade"),
    _share("nose_tan_share", "tan", "nose", "a normal nose often half or more"),
    _share("nose_red_share", "red to orange", "nose", "only with fuel additives or rust"),
    _share("nose_yellow_share", "yellow to brown", "nose", "a normal nose little"),
    _share("nose_green_share", "greenish", "nose", "a normal nose none"),
    _share("centre_dark_share", "dark", "centre electrode", "soot or oil where it is nearly all"),
    _share("strap_dark_share", "dark", "strap", "soot or oil where it is nearly all"),
    _share("strap_white_share", "white or pale grey", "strap", "ash where there is much"),
    _share("face_dark_share", "dark", "shell face", "a dark shell face is usual"),
    _share("face_white_share", "white or pale grey", "shell face", "ash where there is much"),
    _share("thread_dark_share", "dark", "visible thread", "clean thread little"),
    _share("nose_covered_share", "covered (not bare white ceramic)", "nose", "a new plug nearly nothing"),
    _share("strap_blue_share", "blued", "strap", "heat where there is any"),
    _share("strap_straw_share", "straw-coloured", "strap", "mild heat, or a tan deposit"),
    _share("centre_blue_share", "blued", "centre electrode", "heat where there is any"),
    FeatureEntry("nose_shaded", "share", 0, 1, ALL_VIEWS, "fall of lightness towards the bore without change of colour",
                 "nose {word} by the shell's bore ({value:.0%} of the fall in lightness is shade)",
                 ((0.35, "hardly shaded"), (0.65, "partly shaded"), (INF, "shaded"))),
)  # fmt: skip
