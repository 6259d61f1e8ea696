"""Bench tests that would split a suggested set, from a data file."""

import functools
import tomllib
from collections.abc import Sequence
from importlib.resources import files

from pydantic import BaseModel, ConfigDict

from plugsight.suggestion.record import Splitter
from plugsight.vocabulary.bench import BenchQuestion
from plugsight.vocabulary.deposits import Deposit


class _Split(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    question: BenchQuestion
    this: frozenset[Deposit]
    that: frozenset[Deposit]
    words: str


@functools.cache
def _splits() -> tuple[_Split, ...]:
    text = files("plugsight.suggestion").joinpath("splitters.toml").read_text("utf-8")
    return tuple(_Split.model_validate(one) for one in tomllib.loads(text)["split"])


def splitters(members: Sequence[Deposit]) -> tuple[Splitter, ...]:
    """Tests that set a member apart from another, those that part the most pairs first; empty for fewer than two."""
    pairs = [(a, b) for i, a in enumerate(members) for b in members[i + 1 :]]
    scored = [
        (sum((a in s.this and b in s.that) or (b in s.this and a in s.that) for a, b in pairs), s)
        for s in _splits()
    ]
    useful = sorted((one for one in scored if one[0]), key=lambda one: -one[0])
    return tuple(Splitter(split.question, split.words) for _, split in useful[:2])
