"""A finding never speaks against a cause that raises it, nor its absence for it: every link, other causes as they are."""

import numpy as np
import pytest

from plugsight.causes.engine_model import engine_model
from plugsight.causes.inference import infer
from plugsight.causes.load_knowledge import catalogue
from plugsight.causes.seen import Seen
from plugsight.vocabulary.engine import EngineFacts, Place, Stroke, Use

ENGINES = (
    EngineFacts("made up", 2, banks=(), coil_pairs=((1, 2),)),
    EngineFacts("made up", 4, banks=((1, 2), (3, 4)), use=Use.MARINE, turbo=True),
    EngineFacts("made up", 1, stroke=Stroke.TWO),
    EngineFacts("made up", 1, stroke=Stroke.ROTARY),
    EngineFacts("made up", 1, use=Use.AIRCRAFT),
)


def seen_at(finding, level, site, engine, *, present):
    cylinder = site.cylinders[0]
    match level:
        case "plug":
            return Seen(finding, present, place=Place(cylinder, engine.positions[0]))
        case "cylinder":
            return Seen(finding, present, cylinder=cylinder)
        case "bank":
            return Seen(finding, present, bank=tuple(range(1, engine.cylinders + 1)))
    return Seen(finding, present)


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("benign", [False, True])
def test_every_link_at_every_site(engine, benign):
    known = catalogue()
    model = engine_model(engine, known, benign=benign)
    before = infer(model.problem([])).flat
    after = {}
    checked = 0
    for index, node in enumerate(model.nodes):
        for link in node.cause.links.values():
            if not link.at(node.site.scope):
                continue
            level = known.findings[link.finding].level
            for present in (True, False):
                seen = seen_at(link.finding, level, node.site, engine, present=present)
                if seen not in after:
                    after[seen] = infer(model.problem([seen])).flat
                change = after[seen][index] - before[index]
                assert change > 0 if present else change < 0, (node.cause.id, node.site, link.finding)
                checked += 1
    assert checked > 2


def test_every_link_is_reached_by_some_engine():
    known = catalogue()
    reached = {
        (n.cause.id, f)
        for engine in ENGINES
        for benign in (False, True)
        for n in engine_model(engine, known, benign=benign).nodes
        for f in n.cause.links
    }
    assert reached == {(c.id, f) for c in known.causes.values() for f in c.links}


def test_noisy_or_ratio_is_at_least_one_for_any_strength():
    # P(finding | cause, rest) / P(finding | rest) = (1 - r(1 - q)) / (1 - r) >= 1, r = chance that the rest is silent
    rest, strength = np.meshgrid(np.linspace(0, 0.999, 50), np.linspace(0, 1, 50))
    assert ((1 - rest * (1 - strength)) / (1 - rest) >= 1).all()
