"""The scenario loader as a fixture: test folders are no packages."""

import importlib.util
import sys
from pathlib import Path

import pytest


def _loader():
    name = "plugsight_scenario_loader"
    if name not in sys.modules:
        path = Path(__file__).parent / "scenario_loader.py"
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
def tuned(scenarios):
    """All scenarios the knowledge may be tuned on."""
    return scenarios.load(scenarios.TUNED)


@pytest.fixture(scope="session")
def sealed(scenarios):
    """The sealed scenarios: scored, never tuned on."""
    return scenarios.load(scenarios.SEALED)
