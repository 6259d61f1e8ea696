"""Catalogue entries for bands along the nose, coarse shape on the crop, and exact geometry on the full-size view."""

import math

from plugsight.features.entry import (
    AFTER_CARD,
    ALL_VIEWS,
    OUTLINE,
    SIDE_ONLY,
    UPRIGHT_VIEWS,
    FeatureEntry,
)

INF = math.inf
DARKNESS = ((22.0, "very dark"), (38.0, "dark"), (58.0, "mid-toned"), (76.0, "light"), (INF, "very light"))
GUM = "outline at full size, corrected for tilt and perspective, uncertainty by JCGM 100"


def _exact(
    name: str, unit: str, low: float, high: float, template: str, grades: tuple[tuple[float, str], ...]
) -> FeatureEntry:
    return FeatureEntry(name, unit, low, high, SIDE_ONLY, GUM, template, grades, on_canonical=False)


SHAPE_ENTRIES: tuple[FeatureEntry, ...] = (
    FeatureEntry("nose_band_tip_L", "L*", 0, 100, ALL_VIEWS, AFTER_CARD,
                 "tip third of the nose {word} (L* {value:.0f})", DARKNESS),
    FeatureEntry("nose_band_mid_L", "L*", 0, 100, ALL_VIEWS, AFTER_CARD,
                 "middle third of the nose {word} (L* {value:.0f})", DARKNESS),
    FeatureEntry("nose_band_root_L", "L*", 0, 100, ALL_VIEWS, AFTER_CARD,
                 "root third of the nose {word} (L* {value:.0f})", DARKNESS),
    FeatureEntry("nose_ring_step", "dE", 0, 150, ALL_VIEWS, AFTER_CARD,
                 "{word} ring border round the nose (step of {value:.0f} colour units)",
                 ((6.0, "no"), (15.0, "soft"), (INF, "clear"))),
    FeatureEntry("nose_ring_place", "share", 0, 1, ALL_VIEWS, OUTLINE,
                 "its strongest ring border lies {value:.0%} of the way from tip to root"),
    FeatureEntry("nose_area", "mm2", 0, 400, ALL_VIEWS, OUTLINE, "{value:.0f} square mm of nose in view"),
    FeatureEntry("nose_height", "mm", -5, 25, UPRIGHT_VIEWS, OUTLINE,
                 "nose {word} the shell face by about {value:.1f} mm",
                 ((-0.3, "recessed below"), (0.3, "level with"), (INF, "projects beyond"))),
    FeatureEntry("nose_width", "mm", 0, 20, UPRIGHT_VIEWS, OUTLINE, "nose about {value:.1f} mm wide"),
    FeatureEntry("electrode_width", "mm", 0, 6, UPRIGHT_VIEWS, OUTLINE,
                 "centre electrode about {value:.1f} mm wide ({word})", ((1.0, "fine wire"), (INF, "ordinary"))),
    FeatureEntry("electrode_squareness", "share", 0, 1, UPRIGHT_VIEWS, OUTLINE,
                 "centre electrode's edge {word} (width near its face {value:.0%} of the full width; square is 100 %)",
                 ((0.6, "far rounded"), (0.8, "rounded"), (0.92, "slightly rounded"), (INF, "square"))),
    FeatureEntry("electrode_height", "mm", -5, 10, UPRIGHT_VIEWS, OUTLINE,
                 "centre electrode stands {value:.1f} mm out of the nose"),
    FeatureEntry("strap_thickness", "mm", 0, 6, UPRIGHT_VIEWS, OUTLINE, "strap about {value:.1f} mm thick over the gap"),
    FeatureEntry("strap_slope", "deg", -45, 45, UPRIGHT_VIEWS, OUTLINE,
                 "strap {word} ({value:+.0f} degrees to the electrode's face)",
                 ((-8.0, "slopes down to its free end"), (8.0, "lies square over the electrode"),
                  (INF, "slopes up to its free end"))),
    FeatureEntry("strap_reach", "share", -2, 3, UPRIGHT_VIEWS, OUTLINE,
                 "strap {word} ({value:.0%} of the electrode's width covered)",
                 ((0.3, "misses the electrode"), (0.85, "covers the electrode in part"), (INF, "covers the electrode"))),
    FeatureEntry("gap_coarse", "mm", 0, 5, UPRIGHT_VIEWS, OUTLINE,
                 "gap on the small picture about {value:.1f} mm (coarse; not for judging)"),
    FeatureEntry("gap_bridged_share", "share", 0, 1, UPRIGHT_VIEWS, OUTLINE,
                 "electrodes {word} (over {value:.0%} of the electrode's width)",
                 ((0.02, "stand apart"), (INF, "touch or are joined"))),
    FeatureEntry("strap_hollow_coarse", "mm", -1, 1, UPRIGHT_VIEWS, OUTLINE,
                 "strap's inner face {word} ({value:.2f} mm)", ((0.05, "straight"), (INF, "hollowed"))),
    _exact("gap_mm", "mm", 0, 5, "gap {value:.2f} mm by photo; a wire gauge decides", ((INF, ""),)),
    _exact("gap_U_mm", "mm", 0, 5, "gap known to within {value:.2f} mm (95 %)", ((INF, ""),)),
    _exact("edge_radius_mm", "mm", 0, 2, "centre electrode's edge {word} (radius {value:.2f} mm)",
           ((0.12, "square"), (0.3, "slightly rounded"), (INF, "rounded"))),
    _exact("nose_projection_mm", "mm", -10, 20, "nose {word} the shell face by {value:.2f} mm",
           ((0.0, "lies below"), (INF, "projects beyond"))),
    _exact("strap_alignment_deg", "deg", -45, 45, "strap {word} ({value:+.1f} degrees to the electrode's face)",
           ((-6.0, "tilted down to its free end"), (6.0, "in line"), (INF, "tilted up to its free end"))),
    _exact("strap_hollow_mm", "mm", -1, 2, "strap's inner face {word} ({value:.2f} mm)",
           ((0.06, "straight"), (INF, "hollowed"))),
)  # fmt: skip
