"""The exact inference against published tables, a plain sum over everything, and a general-purpose library.

The library (pgmpy) is heavy and optional: without it the same networks are still checked by the plain sum. The long
proof on 200 networks runs with ``PLUGSIGHT_LONG=1 pytest tests/reference/test_noisy_or.py``.
"""

import itertools
import math
import os
import warnings
from dataclasses import dataclass

import numpy as np
import pytest

from plugsight.causes.assemble import Observed, assemble
from plugsight.causes.inference import infer

SHORT, LONG = 10, 200


@dataclass(frozen=True)
class Effect:
    """One finding of a random network: strengths by the name of the cause."""

    name: str
    cylinder: int | None
    leak: float
    strengths: dict
    present: bool | None


@dataclass(frozen=True)
class Net:
    """Priors by name of the cause: ``s0`` shared, ``c1_0`` the first of cylinder 1."""

    shared: dict
    local: tuple
    effects: tuple


def random_net(seed: int, most_cylinders: int = 3, most_shared: int = 6, most_local: int = 6) -> Net:
    rng = np.random.default_rng(seed)
    return _net(
        rng,
        {f"s{i}": rng.uniform(0.01, 0.6) for i in range(rng.integers(1, most_shared + 1))},
        most_cylinders,
        most_local,
    )


def wide_net(seed: int) -> Net:
    """Draw a net with so many shared causes, most of them rare, that not every set of three is worth enumerating."""
    rng = np.random.default_rng(seed)
    return _net(rng, {f"s{i}": 10.0 ** rng.uniform(-7, -1) for i in range(24)}, 2, 3, most_parents=24)


def _net(rng, shared: dict, most_cylinders: int, most_local: int, most_parents: int = 8) -> Net:
    local = tuple(
        {f"c{c}_{i}": rng.uniform(0.01, 0.6) for i in range(rng.integers(1, most_local + 1))}
        for c in range(rng.integers(1, most_cylinders + 1))
    )
    effects = []
    for c, own in enumerate(local):
        effects += [
            _effect(rng, f"f{c}_{i}", c, [*shared, *own], most_parents) for i in range(rng.integers(1, 5))
        ]
    everyone = [*shared, *(name for own in local for name in own)]
    for i in range(rng.integers(0, 3)):
        parents = everyone if rng.random() < 0.7 else list(shared)
        effects.append(_effect(rng, f"e{i}", None, parents, most_parents))
    return Net(shared, local, tuple(effects))


def _effect(rng, name, cylinder, causes, most) -> Effect:
    chosen = rng.choice(causes, size=min(len(causes), int(rng.integers(1, most + 1))), replace=False)
    strengths = {str(cause): rng.uniform(0.05, 0.97) for cause in chosen}
    present = [True, False, None][rng.choice(3, p=[0.5, 0.3, 0.2])]
    return Effect(name, cylinder, rng.uniform(0.02, 0.2), strengths, present)


def ours(net: Net):
    """Posterior by name of the cause, and the whole record."""
    names = list(net.shared)

    def row(causes, strengths):
        return np.array([strengths.get(name, 0.0) for name in causes])

    findings = [
        Observed(
            present=e.present,
            leak=e.leak,
            cylinder=e.cylinder,
            shared=row(names, e.strengths),
            local={c: row(own, e.strengths) for c, own in enumerate(net.local) if e.cylinder in (None, c)},
        )
        for e in net.effects
        if e.present is not None
    ]
    result = infer(
        assemble(np.array([*net.shared.values()]), [np.array([*own.values()]) for own in net.local], findings)
    )
    by_name = dict(zip(names, result.shared, strict=True))
    for own, posterior in zip(net.local, result.local, strict=True):
        by_name |= dict(zip(own, posterior, strict=True))
    return by_name, result


def plain_sum(net: Net) -> tuple[dict, float, float]:
    """Posterior, probability of the evidence given the rule, and prior mass left out: term by term."""
    priors = dict(net.shared)
    for own in net.local:
        priors |= own
    names = list(priors)
    acting_mass = dict.fromkeys(names, 0.0)
    total = allowed = 0.0
    own = [name for name in names if name not in net.shared]
    few = [c for size in range(4) for c in itertools.combinations(net.shared, size)]
    for together, states in itertools.product(few, itertools.product((False, True), repeat=len(own))):
        acting = {*together, *(name for name, on in zip(own, states, strict=True) if on)}
        chance = math.prod(priors[name] if name in acting else 1 - priors[name] for name in names)
        allowed += chance
        for e in net.effects:
            if e.present is None:
                continue
            quiet = (1 - e.leak) * math.prod(1 - q for name, q in e.strengths.items() if name in acting)
            chance *= 1 - quiet if e.present else quiet
        total += chance
        for name in acting:
            acting_mass[name] += chance
    return {name: mass / total for name, mass in acting_mass.items()}, total / allowed, 1 - allowed


@pytest.mark.parametrize("seed", range(30))
def test_equals_the_plain_sum(seed):
    net = random_net(seed, most_cylinders=2, most_shared=5, most_local=3)
    by_name, result = ours(net)
    expected, evidence, left_out = plain_sum(net)
    assert by_name == pytest.approx(expected, abs=1e-12)
    assert math.exp(result.log_evidence) == pytest.approx(evidence, rel=1e-12)
    assert result.left_out == pytest.approx(left_out, abs=1e-12)


@pytest.mark.parametrize("seed", [1, 2])  # the draws in which many sets fall below the limit
def test_sets_that_are_not_enumerated_do_not_matter(seed):
    net = wide_net(seed)
    by_name, result = ours(net)
    expected, evidence, left_out = plain_sum(net)
    assert by_name == pytest.approx(expected, abs=2e-11)
    assert math.exp(result.log_evidence) == pytest.approx(evidence, rel=2e-11)
    assert result.left_out == pytest.approx(left_out, abs=1e-12)


# ------------------------------------------------------------------------------------------- published tables (T9)
SURE = 1 - 2.0**-53
"""A prior that is 1 to the last digit: the inference takes priors below 1."""


def _absent_chance(leak, strengths, acting) -> float:
    """P(finding absent) with the given causes acting, from the inference's own evidence term."""
    prior = np.array([SURE if on else 0.0 for on in acting])
    finding = Observed(present=False, leak=leak, cylinder=None, shared=np.array(strengths), local={})
    return math.exp(infer(assemble(prior, [np.zeros(0)], [finding])).log_evidence)


@pytest.mark.parametrize(
    ("cold", "flu", "malaria", "fever"),
    # Russell & Norvig, Artificial Intelligence, ch. 14, noisy-OR fever table (inhibitions .6, .2, .1; no leak)
    [
        (0, 0, 0, 0.0),
        (0, 0, 1, 0.9),
        (0, 1, 0, 0.8),
        (0, 1, 1, 0.98),
        (1, 0, 0, 0.4),
        (1, 0, 1, 0.94),
        (1, 1, 0, 0.88),
        (1, 1, 1, 0.988),
    ],
)
def test_fever_table(cold, flu, malaria, fever):
    assert 1 - _absent_chance(0.0, [0.4, 0.8, 0.9], [cold, flu, malaria]) == pytest.approx(fever, abs=1e-12)


def test_leak_worked_value():
    # 1 - .9 * .8 * .6, by hand from the definition (Pearl 1988, p. 184, with a leak)
    assert 1 - _absent_chance(0.1, [0.2, 0.4], [1, 1]) == pytest.approx(0.568, abs=1e-12)


def test_explaining_away():
    # The order of Lauritzen & Spiegelhalter 1988: what explains a finding takes belief from its rival.
    prior = np.array([0.1, 0.1])
    shared = Observed(present=True, leak=0.01, cylinder=None, shared=np.array([0.8, 0.8]), local={})
    own = Observed(present=True, leak=0.01, cylinder=None, shared=np.array([0.9, 0.0]), local={})
    before = infer(assemble(prior, [np.zeros(0)], [shared])).shared
    after = infer(assemble(prior, [np.zeros(0)], [shared, own])).shared
    assert before[1] > prior[1]
    assert after[0] > before[0]
    assert prior[1] < after[1] < before[1]


# ------------------------------------------------------------------------------------- a general-purpose library
@pytest.fixture(scope="module")
def pgmpy():
    with warnings.catch_warnings():  # the library's own deprecation notices are not ours to fix
        warnings.simplefilter("ignore")
        return pytest.importorskip("pgmpy", exc_type=ImportError)


def _quiet(call, *args, **kwargs):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return call(*args, **kwargs)


def _library_posterior(net: Net) -> dict:
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.inference import VariableElimination
    from pgmpy.models import DiscreteBayesianNetwork

    model = DiscreteBayesianNetwork()
    priors = dict(net.shared)
    for own in net.local:
        priors |= own
    seen = [e for e in net.effects if e.present is not None]
    model.add_nodes_from([*priors, "rule", *(e.name for e in seen)])
    model.add_edges_from([(cause, e.name) for e in seen for cause in e.strengths])
    model.add_edges_from([(cause, "rule") for cause in net.shared])
    for name, p in priors.items():
        model.add_cpds(TabularCPD(name, 2, [[1 - p], [p]]))
    for e in seen:
        quiet = [
            (1 - e.leak) * math.prod(1 - q for q, on in zip(e.strengths.values(), states, strict=True) if on)
            for states in itertools.product((0, 1), repeat=len(e.strengths))
        ]
        model.add_cpds(
            TabularCPD(e.name, 2, [quiet, [1 - q for q in quiet]], [*e.strengths], [2] * len(e.strengths))
        )
    kept = [float(sum(states) <= 3) for states in itertools.product((0, 1), repeat=len(net.shared))]
    model.add_cpds(TabularCPD("rule", 2, [[1 - k for k in kept], kept], [*net.shared], [2] * len(net.shared)))
    evidence = {e.name: int(e.present) for e in seen} | {"rule": 1}
    elimination = VariableElimination(model)
    return {
        name: float(elimination.query([name], evidence=evidence, show_progress=False).values[1])
        for name in priors
    }


@pytest.mark.parametrize("seed", range(LONG if os.environ.get("PLUGSIGHT_LONG") else SHORT))
@pytest.mark.usefixtures("pgmpy")
def test_equals_variable_elimination(seed):
    net = random_net(1000 + seed)
    by_name, _ = ours(net)
    assert by_name == pytest.approx(_quiet(_library_posterior, net), abs=1e-9)


@pytest.mark.usefixtures("pgmpy")
def test_the_library_reproduces_published_tables():
    # Lauritzen & Spiegelhalter, JRSS B 50:157-224 (1988), network "asia": the peer is checked before it judges us.
    from pgmpy.inference import VariableElimination
    from pgmpy.utils import get_example_model

    elimination = VariableElimination(_quiet(get_example_model, "asia"))

    def chance(node, **evidence):
        answer = _quiet(elimination.query, [node], evidence=evidence, show_progress=False)
        return answer.get_value(**{node: "yes"})

    assert chance("either") == pytest.approx(0.064828, abs=1e-6)
    assert chance("dysp") == pytest.approx(0.435971, abs=1e-6)
    assert chance("bronc", asia="yes", dysp="yes") == pytest.approx(0.811402, abs=1e-6)
    assert chance("bronc", dysp="yes", xray="yes") == pytest.approx(0.681869, abs=1e-6)
    assert chance("bronc", dysp="yes") == pytest.approx(0.8340, abs=5e-5)


@pytest.mark.usefixtures("pgmpy")
def test_the_library_reproduces_burglary():
    # Vidakovic, Statistics for Bioengineering Sciences, ch. 3: P(J, M | B) = 0.5922
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.inference import VariableElimination
    from pgmpy.models import DiscreteBayesianNetwork

    model = DiscreteBayesianNetwork([("b", "a"), ("e", "a"), ("a", "j"), ("a", "m")])
    model.add_cpds(
        TabularCPD("b", 2, [[0.999], [0.001]]),
        TabularCPD("e", 2, [[0.998], [0.002]]),
        TabularCPD("a", 2, [[0.999, 0.71, 0.06, 0.05], [0.001, 0.29, 0.94, 0.95]], ["b", "e"], [2, 2]),
        TabularCPD("j", 2, [[0.95, 0.1], [0.05, 0.9]], ["a"], [2]),
        TabularCPD("m", 2, [[0.99, 0.3], [0.01, 0.7]], ["a"], [2]),
    )
    answer = _quiet(VariableElimination(model).query, ["j", "m"], evidence={"b": 1}, show_progress=False)
    assert answer.get_value(j=1, m=1) == pytest.approx(0.5922, abs=5e-5)
