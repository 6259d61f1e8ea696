"""Catalogue entries for texture and gloss, at sizes in millimetres so that a closer photo doesn't read rougher."""

import math

from plugsight.features.entry import (
    AFTER_CARD,
    ALL_VIEWS,
    IN_MM,
    OUTLINE,
    OWN_PART,
    UPRIGHT_VIEWS,
    FeatureEntry,
)

INF = math.inf
GRAIN_MM = (0.1, 0.2, 0.4, 0.8)
"""Centres of the grain bands, mm. A canonical crop of an M14 plug has 10 pixels per mm: 0.1 mm is one pixel."""
GRAIN = ((1.0, "smooth"), (2.5, "fine-grained"), (5.0, "rough"), (INF, "very rough"))
FEW = ((0.15, "no"), (0.6, "few"), (1.5, "several"), (INF, "many"))


def _grain(part: str, said: str) -> tuple[FeatureEntry, ...]:
    return tuple(
        FeatureEntry(
            f"{part}_grain_{int(1000 * size):04d}", "L*", 0, 40, ALL_VIEWS, IN_MM,
            f"{said} {{word}} at {size:g} mm (grain {{value:.1f}} L*; smooth is under 1)", GRAIN,
        )
        for size in GRAIN_MM
    )  # fmt: skip


def _gloss(part: str, said: str) -> tuple[FeatureEntry, ...]:
    return (
        FeatureEntry(f"{part}_highlight_share", "share", 0, 1, ALL_VIEWS, OWN_PART,
                     f"{{word}} highlights on the {said} ({{value:.1%}} of it; a matte one under 1 %)",
                     ((0.004, "no"), (0.02, "few"), (0.06, "clear"), (INF, "large"))),
        FeatureEntry(f"{part}_highlight_sharpness", "L*/mm", 0, 500, ALL_VIEWS, IN_MM,
                     f"highlights on the {said} {{word}} (edge {{value:.0f}} L* per mm; wet or glassy above about 120)",
                     ((60.0, "soft"), (120.0, "fairly sharp"), (INF, "sharp"))),
    )  # fmt: skip


TEXTURE_ENTRIES: tuple[FeatureEntry, ...] = (
    *_gloss("nose", "nose"),
    *_gloss("strap", "strap"),
    *_gloss("face", "shell face"),
    *_grain("nose", "nose"),
    *_grain("strap", "strap"),
    *_grain("face", "shell face"),
    FeatureEntry("nose_lbp_flat", "share", 0, 1, ALL_VIEWS, "local binary patterns at 0.2 mm (Ojala 2002)",
                 "{value:.0%} of the nose's texture is flat"),
    FeatureEntry("nose_lbp_edge", "share", 0, 1, ALL_VIEWS, "local binary patterns at 0.2 mm (Ojala 2002)",
                 "{value:.0%} of the nose's texture is edges"),
    FeatureEntry("nose_lbp_spot", "share", 0, 1, ALL_VIEWS, "local binary patterns at 0.2 mm (Ojala 2002)",
                 "{value:.0%} of the nose's texture is spots"),
    FeatureEntry("nose_lbp_mixed", "share", 0, 1, ALL_VIEWS, "local binary patterns at 0.2 mm (Ojala 2002)",
                 "{value:.0%} of the nose's texture is irregular"),
    FeatureEntry("nose_patchiness", "share", 0, 1, ALL_VIEWS, IN_MM,
                 "nose {word} ({value:.0%} of its contrast is in patches over 1 mm)",
                 ((0.35, "evenly grained"), (0.65, "somewhat patchy"), (INF, "patchy"))),
    FeatureEntry("nose_border", "dE/mm", 0, 200, ALL_VIEWS, AFTER_CARD,
                 "{word} colour border on the nose ({value:.0f} colour units per mm)",
                 ((12.0, "no"), (30.0, "soft"), (60.0, "clear"), (INF, "sharp"))),
    FeatureEntry("nose_bright_specks", "1/mm2", 0, 20, ALL_VIEWS, IN_MM,
                 "{word} bright specks on the nose ({value:.1f} per square mm; usual: none)", FEW),
    FeatureEntry("nose_dark_specks", "1/mm2", 0, 20, ALL_VIEWS, IN_MM,
                 "{word} dark specks on the nose ({value:.1f} per square mm; usual: none)", FEW),
    FeatureEntry("nose_speck_contrast", "L*", 0, 100, ALL_VIEWS, IN_MM,
                 "specks on the nose {word} (contrast {value:.0f} L*)",
                 ((6.0, "faint"), (15.0, "clear"), (INF, "strong"))),
    FeatureEntry("nose_beads", "1/mm2", 0, 20, ALL_VIEWS, IN_MM,
                 "{word} beads or blisters on the nose (lit on one side, shaded on the other: {value:.1f} per square mm)",
                 FEW),
    FeatureEntry("strap_beads", "1/mm2", 0, 20, ALL_VIEWS, IN_MM,
                 "{word} beads or blisters on the strap ({value:.1f} per square mm)", FEW),
    FeatureEntry("nose_lines", "mm/mm2", 0, 10, ALL_VIEWS, IN_MM,
                 "{word} thin dark lines on the nose ({value:.2f} mm per square mm; look with a 10x lens)",
                 ((0.08, "no"), (0.25, "few"), (INF, "clear"))),
    FeatureEntry("nose_outline_rough", "mm", 0, 1, UPRIGHT_VIEWS, OUTLINE,
                 "nose outline {word} ({value:.3f} mm off a smooth line)",
                 ((0.03, "smooth"), (0.07, "slightly lumpy"), (INF, "lumpy"))),
    FeatureEntry("strap_outline_rough", "mm", 0, 1, UPRIGHT_VIEWS, OUTLINE,
                 "strap outline {word} ({value:.3f} mm off a smooth line)",
                 ((0.03, "smooth"), (0.07, "slightly lumpy"), (INF, "lumpy"))),
)  # fmt: skip
