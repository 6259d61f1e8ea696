"""Evidence for the checks is written as for the causes."""

import importlib.util
import sys
from pathlib import Path

import pytest


def _module(file):
    name = f"plugsight_{file}"
    if name not in sys.modules:
        path = Path(__file__).parents[1] / "causes" / f"{file}.py"
        spec = importlib.util.spec_from_file_location(name, path)
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
    return sys.modules[name]


@pytest.fixture(scope="session")
def made_up():
    """The module ``made_up`` of tests/causes."""
    return _module("made_up")


@pytest.fixture(scope="session")
def tuned():
    """The scenarios the knowledge may be tuned on."""
    loader = _module("scenario_loader")
    return loader.load(loader.TUNED)
