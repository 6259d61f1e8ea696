"""Words of the trade as a person types them; an unknown one gets the nearest known one."""

import difflib
from collections.abc import Callable, Iterable
from typing import Any

from pydantic import BeforeValidator

from plugsight.cli.engine_file.amounts import refused
from plugsight.vocabulary.bench import BENCH, CANT_TELL, BenchFinding, BenchQuestion

_FEW = 8
"""Up to this many choices are listed in full."""


def word(known: Iterable[str], what: str) -> BeforeValidator:
    """Accept one of ``known`` (any case, underscores for blanks) and hand it on as it is spelt there."""
    spelt = {_plain(k): k for k in known}

    def check(written: Any) -> str:
        if isinstance(written, str) and _plain(written) in spelt:
            return str(spelt[_plain(written)])
        raise refused(f"unknown {what}", suggest(str(written), spelt.values()))

    return BeforeValidator(check)


def suggest(written: str, known: Iterable[str]) -> str:
    """Say which known word was probably meant, or which there are."""
    names = [str(k) for k in known]
    near = difflib.get_close_matches(written.strip().lower(), [n.lower() for n in names], n=1, cutoff=0.6)
    spelt = {n.lower(): n for n in names}
    if near:
        return f"Did you mean '{spelt[near[0]]}'?"
    if len(names) <= _FEW:
        return f"Use one of: {', '.join(names)}."
    return f"Use one of: {', '.join(names[:_FEW])} and {len(names) - _FEW} more."


def bench(written: Any) -> tuple[BenchFinding, ...]:
    """Read the table of bench questions and their answers."""
    if not isinstance(written, dict):
        raise refused("bench answers are a table", 'Write them like wipe = "dry soot".')
    return tuple(bench_finding(str(question), answer) for question, answer in written.items())


def bench_finding(question: str, answer: Any) -> BenchFinding:
    """Read one bench question and its answer."""
    asked = {_plain(q): q for q in BenchQuestion}.get(_plain(question))
    if asked is None:
        raise refused(f"unknown bench question '{question}'", suggest(question, BenchQuestion))
    answers = (*BENCH[asked].answers, CANT_TELL)
    given = {_plain(a): a for a in answers}.get(_plain(str(answer)))
    if given is None:
        rule = f"'{asked}' can't be answered with '{answer}'"
        raise refused(rule, f"Use one of: {', '.join(answers)}.")
    return BenchFinding(asked, given)


def texts(written: Any) -> tuple[str, ...]:
    """Read one text or several."""
    several = [written] if isinstance(written, str) else written
    if not isinstance(several, list) or not all(isinstance(one, str) for one in several):
        raise refused("text in quotes is needed", 'Write it like "0.82 mm" (with quotes and unit).')
    return tuple(several)


def each(validate: Callable[[Any], Any]) -> BeforeValidator:
    """Turn a plain reading function into a pydantic validator."""
    return BeforeValidator(validate)


def _plain(text: str) -> str:
    return " ".join(text.replace("_", " ").lower().split())
