"""The knowledge files: they load, and what does not fit together is refused with every error at once."""

import shutil
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from plugsight.causes import catalogue
from plugsight.causes.circumstances import COMPLAINT_FINDINGS
from plugsight.causes.load_knowledge import KnowledgeError, load_knowledge
from plugsight.causes.looks import finding_id
from plugsight.vocabulary.circumstances import COMPLAINTS
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit

KNOWLEDGE = Path(str(files("plugsight.causes") / "knowledge"))


@pytest.fixture
def copy(tmp_path):
    """A copy of the knowledge files, and a way to change one."""
    folder = tmp_path / "knowledge"
    shutil.copytree(KNOWLEDGE, folder)

    def change(name, old, new):
        path = folder / f"{name}.toml"
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")

    return folder, change


def problems(folder):
    with pytest.raises(KnowledgeError) as caught:
        load_knowledge(folder)
    assert all(problem in str(caught.value) for problem in caught.value.problems)
    return caught.value.problems


def test_every_link_carries_a_known_source_or_mark():
    known = catalogue()
    for cause in known.causes.values():
        assert cause.links
        for link in cause.links.values():
            assert link.sources
            assert set(link.sources) <= known.sources.keys()
            assert 0 < link.strength < 1


def test_every_deposit_damage_and_complaint_is_a_finding():
    known = catalogue()
    assert {finding_id(d) for d in Deposit} | {finding_id(d) for d in Damage} <= known.findings.keys()
    assert COMPLAINT_FINDINGS.keys() == COMPLAINTS.keys() - {"routine"}
    assert set(COMPLAINT_FINDINGS.values()) <= known.findings.keys()


def test_an_untouched_copy_loads(copy):
    folder, _ = copy
    assert load_knowledge(folder).causes.keys() == catalogue().causes.keys()


def test_dangling_ids_are_all_named_at_once(copy):
    folder, change = copy
    change(
        "links",
        "[links.oil_ring]",
        "[links.no_such_cause]\nash = [0.5, 'cp']\n[links.oil_ring]\nno_such_finding = [0.5, 'no_such_source']",
    )
    change(
        "outcomes",
        "[outcome.oil_level]",
        "[outcome.oil_level]\nodd = { no_such_look = true, oil_over = true }",
    )
    found = problems(folder)
    assert any("'no_such_cause' is not in causes.toml" in p for p in found)
    assert any("finding 'no_such_finding'" in p for p in found)
    assert any("source 'no_such_source'" in p for p in found)
    assert any("finding 'no_such_look'" in p for p in found)


def test_contradictions_are_all_named_at_once(copy):
    folder, change = copy
    change("priors", "cold_plug = { engine = 0.015, cylinder", "cold_plug = { engine = 0.015, bank")
    change("links", "[links.oil_ring]", '[links.oil_ring]\nlight = [0.5, "cp"]')
    change("outcomes", "at_mark = { oil_over = false }", "at_mark = { oil_over = true }")
    change(
        "outcomes", "right = { mix_wrong = false }", "right = { mix_wrong = false, compression_low = false }"
    )
    found = problems(folder)
    assert any(p.startswith("priors.toml: cold_plug: scopes") for p in found)
    assert any("'light' is raised by harmless causes and by faults" in p for p in found)
    assert any("oil_level: 'over' and 'at_mark' don't exclude each other" in p for p in found)
    assert any("two_stroke_mix: findings of different levels" in p for p in found)


def test_a_cause_twice_and_a_scope_it_lacks(copy):
    folder, change = copy
    first = tomllib.loads((folder / "causes.toml").read_text(encoding="utf-8"))["cause"][0]["id"]
    change("causes", 'id = "new_plugs"', f'id = "{first}"')
    change(
        "links",
        'runner_leak = [0.85, "cp", ["neighbours", "cylinder"]]',
        'runner_leak = [0.85, "cp", ["coil pair"]]',
    )
    found = problems(folder)
    assert any("stands 2 times" in p for p in found)
    assert any("new_plugs" in p for p in found)
    assert any("the cause has no scope ['coil pair']" in p for p in found)


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        ("links", 'wet_oil = [0.65, "1a 1g 1h"]', "wet_oil = [0.65]", "links.oil_ring.wet_oil"),
        ("links", 'wet_oil = [0.65, "1a 1g 1h"]', 'wet_oil = [0.65, ""]', "links.oil_ring.wet_oil"),
        ("links", 'wet_oil = [0.65, "1a 1g 1h"]', 'wet_oil = [1.65, "1a"]', "links.oil_ring.wet_oil"),
        ("findings", "leak = 0.25", "leak = 0.0", "findings.finding.light.leak"),
        ("causes", "format = 1", "format = 2", "causes.format"),
        ("causes", 'scopes = ["engine", "cylinder"]', 'scopes = ["galaxy"]', "scopes"),
        ("priors", "benign = true", "benign = true, colour = 'red'", "colour"),
    ],
)
def test_entries_out_of_form_are_refused(copy, name, old, new, said):
    folder, change = copy
    change(name, old, new)
    assert any(said in p for p in problems(folder))


def test_a_missing_and_a_broken_file(copy):
    folder, change = copy
    (folder / "priors.toml").unlink()
    change("findings", "[finding]", "[finding")
    found = problems(folder)
    assert any(p.startswith("priors.toml") for p in found)
    assert any(p.startswith("findings.toml") for p in found)


def test_a_file_that_is_no_text_is_named_among_the_problems(copy):
    folder, _ = copy
    (folder / "links.toml").write_bytes(b"\xff\xfe\x00")
    assert any(p.startswith("links.toml") for p in problems(folder))
