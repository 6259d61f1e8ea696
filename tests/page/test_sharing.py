"""Letting a phone in: once per code, for a while, until taken back; wrong codes close the door."""

import time
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from plugsight.page import session
from plugsight.page.guard import is_here, sharing
from plugsight.page.sharing import KEY_SECONDS, MOST_TRIES, TOKEN_SECONDS, TRY_SECONDS, Sharing
from plugsight.vocabulary.engine import EngineFacts, PlugSpec

SCRIPT = Path(session.__file__).with_name("script.py")


def test_a_code_opens_its_inspection_once():
    door = Sharing()
    token = door.offer("a", 0.0)
    key = door.redeem(token, 1.0)
    assert isinstance(key, str)
    assert door.opens(key, 2.0) == "a"
    assert not door.redeem(token, 3.0)
    assert door.phones("a", 3.0) == 1


def test_a_code_expires():
    door = Sharing()
    assert not door.redeem(door.offer("a", 0.0), TOKEN_SECONDS)


def test_a_key_expires():
    door = Sharing()
    key = door.redeem(door.offer("a", 0.0), 0.0)
    assert door.opens(key, KEY_SECONDS - 1) == "a"
    assert door.opens(key, KEY_SECONDS) is None


def test_a_new_code_voids_the_one_before():
    door = Sharing()
    old = door.offer("a", 0.0)
    new = door.offer("a", 1.0)
    assert not door.redeem(old, 2.0)
    assert isinstance(door.redeem(new, 2.0), str)


def test_shutting_out_takes_keys_and_codes_of_that_inspection_only():
    door = Sharing()
    one, two = door.redeem(door.offer("a", 0.0), 0.0), door.redeem(door.offer("b", 0.0), 0.0)
    waiting = door.offer("a", 0.0)
    door.revoke("a")
    assert door.opens(one, 1.0) is None
    assert door.opens(two, 1.0) == "b"
    assert not door.redeem(waiting, 1.0)


def test_wrong_codes_close_the_door_for_a_while():
    door = Sharing()
    for _ in range(MOST_TRIES):
        assert not door.redeem("guess", 0.0)
    good = door.offer("a", 1.0)
    assert "too many" in door.redeem(good, 2.0).reason
    later = TRY_SECONDS + 1.0
    assert isinstance(door.redeem(door.offer("a", later), later), str)


def test_codes_can_not_be_guessed():
    # 24 random bytes: 192 bits, well over the 64 bits that OWASP's session guidance asks for
    assert len(Sharing().offer("a", 0.0)) >= 32


@pytest.mark.parametrize(
    ("caller", "here"),
    [
        (None, True),
        ("127.0.0.1", True),
        ("::1", True),
        ("::ffff:127.0.0.1", True),  # RFC 4291, 2.5.5.2: what a dual-stack server sees of 127.0.0.1
        ("::ffff:192.168.1.20", False),
        ("192.168.1.20", False),
        ("127.0.0.1.evil", False),
        ("", False),
    ],
)
def test_only_this_machine_counts_as_here(caller, here):
    assert is_here(caller) is here


@pytest.fixture
def phone(page, monkeypatch):  # noqa: ARG001 (the store must stand first)
    """Open the page as a caller from the shop's network would."""
    monkeypatch.setattr("plugsight.page.guard.is_here", lambda _: False)
    sharing.clear()

    def call(**asked: str) -> AppTest:
        app = AppTest.from_file(str(SCRIPT), default_timeout=60)
        app.query_params.update(asked)
        return app.run()

    return call


def test_a_stranger_sees_nothing(page, phone):
    app = phone(i=page.inspection, v="plugs")
    assert "shop's computer" in app.error[0].value
    assert not app.title
    assert not app.button


def test_a_phone_sees_its_inspection_and_no_other(page, phone):
    other = page.book.start(EngineFacts("Somebody else's", 1), PlugSpec())
    token = sharing().offer(page.inspection, time.monotonic())
    app = phone(t=token, i=other.id, v="plugs")
    assert app.title[0].value == "Invented two"
    assert "t" not in app.query_params
    again = phone(k=app.query_params["k"], i=other.id, v="history")
    assert again.title[0].value == "Invented two"
    assert "plugsight" not in {button.label for button in again.button}
    sharing().revoke(page.inspection)
    assert phone(k=app.query_params["k"], i=page.inspection).error


def test_an_old_code_is_refused_on_the_page(page, phone):
    token = sharing().offer(page.inspection, time.monotonic() - TOKEN_SECONDS - 1)
    app = phone(t=token)
    assert "too old" in app.error[0].value
    assert not app.title


def test_guessing_closes_the_door_on_the_page(page, phone):
    for _ in range(MOST_TRIES):
        sharing().redeem("guess", time.monotonic())
    app = phone(t=sharing().offer(page.inspection, time.monotonic()))
    assert "oo many wrong codes" in app.error[0].value
    assert not app.title


def test_a_phone_is_expected_from_the_code_until_it_is_shut_out():
    door = Sharing()
    assert not door.expected("a", 0.0)
    token = door.offer("a", 0.0)
    assert door.expected("a", 1.0)
    assert not door.expected("b", 1.0)
    door.redeem(token, 1.0)
    assert door.expected("a", TOKEN_SECONDS + 2.0)
    door.revoke("a")
    assert not door.expected("a", 2.0)
