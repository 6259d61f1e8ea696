"""The scenario loader as a fixture: test folders are no packages."""

import importlib.util
import sys
from pathlib import Path

import pytest

from plugsight.causes import find_causes


def _loader(file="scenario_loader"):
    name = f"plugsight_{file}"
    if name not in sys.modules:
        path = Path(__file__).parent / f"{file}.py"
        spec = importlib.util.spec_from_file_location(name, path)
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
    return sys.modules[name]


@pytest.fixture(scope="session")
def scenarios():
    """The module ``scenario_loader``: ``load``, ``misses``, ``score``, ``TUNED``, ``SEALED``."""
    return _loader()


@pytest.fixture(scope="session")
def made_up():
    """The module ``made_up``: short ways to write evidence."""
    return _loader("made_up")


@pytest.fixture(scope="session")
def tuned(scenarios):
    """All scenarios the knowledge may be tuned on."""
    return scenarios.load(scenarios.TUNED)


@pytest.fixture(scope="session")
def sealed(scenarios):
    """The sealed scenarios: scored, never tuned on."""
    return scenarios.load(scenarios.SEALED)


@pytest.fixture(scope="session")
def ranked(tuned):
    """Causes of every tuned scenario, by its id."""
    return {s.id: find_causes(s.evidence) for s in tuned}
