"""Run ``python tests/causes/sealed_score.py``: counts and ids only, no entry is shown."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import scenario_loader as scenarios

from plugsight.causes import find_causes

if __name__ == "__main__":
    for name, path in (("tuned", scenarios.TUNED), ("sealed", scenarios.SEALED)):
        loaded = scenarios.load(path)
        hits, asked, missed = scenarios.score(loaded, {s.id: find_causes(s.evidence) for s in loaded})
        print(f"{name}: {hits} of {asked}; missed: {', '.join(missed) or 'none'}")
