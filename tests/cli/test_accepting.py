"""Accepting a suggestion: only where one was shown, and only one deposit was left. The suggestion is set up here."""

from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import Result

from plugsight.casebook import Casebook
from plugsight.confirmation import Confirmation, Decision
from plugsight.store import Store
from plugsight.suggestion import Chance, Suggestion
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Place

Run = Callable[..., Result]
Write = Callable[..., Path]

BLIND = 2


@pytest.fixture
def members(monkeypatch: pytest.MonkeyPatch) -> list[Deposit]:
    """Set what is suggested for every plug; cylinder 2 is the one decided blind."""
    chosen = [Deposit.WET_OIL]

    def suggest(_seen: object) -> Suggestion:
        return Suggestion(
            members=tuple(chosen),
            coverage=0.95,
            chances=tuple(Chance(d, 1 / len(chosen)) for d in chosen),
            damage=(),
            why=(),
            split_by=(),
            severity=None,
            model_digest="set up by the test",
            prior="",
        )

    monkeypatch.setattr("plugsight.flow.suggest", suggest)
    monkeypatch.setattr("plugsight.casebook.book.decides_blind", lambda _id, place: place.cylinder == BLIND)
    return chosen


@pytest.fixture
def case(run: Run, write: Write, photos: Path, members: list[Deposit], tmp_path: Path) -> str:
    assert members
    plugs = (f'[[plugs]]\ncylinder = {n}\nphotos = ["{photos / f"{n}_side.jpg"}"]\n' for n in (1, 2))
    result = run("engine", write("".join(plugs)), "--no-ask")
    assert result.exit_code == 3, result.output
    with Store.open(tmp_path / "store") as store:
        return store.recent()[0].id


def _last(tmp_path: Path, case: str, cylinder: int) -> Confirmation | None:
    with Store.open(tmp_path / "store") as store:
        decided = Casebook(store).load(case).plug(Place(cylinder)).confirmations
    return decided[-1] if decided else None


def test_accepted_by_option_is_recorded_with_what_was_shown(run: Run, case: str, tmp_path: Path) -> None:
    result = run("decide", case, "1", "--accept", "--who", "A. Tester")
    assert result.exit_code == 0, result.output
    made = _last(tmp_path, case, 1)
    assert made is not None
    assert (made.decision, made.deposits) == (Decision.ACCEPTED, (Deposit.WET_OIL,))
    assert (made.shown.suggested, made.shown.blind) == ((Deposit.WET_OIL,), False)


def test_another_deposit_by_option_is_a_correction(run: Run, case: str, tmp_path: Path) -> None:
    run("decide", case, "1", "--deposit", "ash", "--who", "A. Tester")
    made = _last(tmp_path, case, 1)
    assert made is not None
    assert (made.decision, made.deposits) == (Decision.CORRECTED, (Deposit.ASH,))


def test_blind_plug_has_nothing_to_accept(run: Run, case: str, tmp_path: Path) -> None:
    result = run("decide", case, str(BLIND), "--accept", "--who", "A. Tester")
    assert result.exit_code == 2
    assert "decided before its suggestion is shown" in result.output
    assert _last(tmp_path, case, BLIND) is None


def test_an_open_set_is_not_accepted_whole(
    run: Run, case: str, members: list[Deposit], tmp_path: Path
) -> None:
    members.append(Deposit.DRY_CARBON)
    result = run("decide", case, "1", "--accept", "--who", "A. Tester")
    assert result.exit_code == 2
    assert "leaves several open (seen: wet oil, dry carbon). Choose one with --deposit." in result.output
    assert _last(tmp_path, case, 1) is None


def test_suggestion_of_a_blind_plug_is_shown_only_once_it_is_decided(run: Run, case: str) -> None:
    before = run("show", case).output
    assert "wet oil" in _part(before, "Plug 1", "Plug 2")
    assert "wet oil" not in before[before.index("Plug 2") :]
    run("decide", case, str(BLIND), "--deposit", "ash", "--who", "A. Tester")
    after = run("show", case).output
    assert "Suggested" in after[after.index("Plug 2") :]


def test_asked_in_the_terminal_blind_means_blind(run: Run, case: str, tmp_path: Path) -> None:
    # 'a' is no answer on a blind plug; ash is. No damage looked for, six bench questions left open.
    typed = "a\nash\nnot looked\n" + "\n" * 6
    result = run("decide", case, str(BLIND), "--who", "A. Tester", typed=typed)
    assert result.exit_code == 0, result.output
    asked = _part(result.output, "Plug 2", "What covers the nose?")
    assert "Suggested" not in asked
    assert "'a' is none of the choices" in result.output
    assert "For comparison" in result.output
    made = _last(tmp_path, case, BLIND)
    assert made is not None
    assert (made.decision, made.shown.blind, made.shown.suggested) == (Decision.DECIDED, True, ())


def test_asked_in_the_terminal_a_accepts(run: Run, case: str, tmp_path: Path) -> None:
    result = run("decide", case, "1", "--who", "A. Tester", typed="a\nnot looked\n" + "\n" * 6)
    assert "'a' to accept wet oil" in result.output
    made = _last(tmp_path, case, 1)
    assert made is not None
    assert made.decision is Decision.ACCEPTED


def _part(text: str, first: str, last: str) -> str:
    start = text.rindex(first, 0, text.rindex(last))
    return text[start : text.rindex(last)]
