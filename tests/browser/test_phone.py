"""A phone in the shop's network: let in by the code on the screen, to one inspection, until shut out."""

import re
import socket

import cv2
import numpy as np
import pytest

PHONE_MODE = True


@pytest.fixture(scope="module")
def own_address() -> str:
    """This machine's address in its network: the phone's calls come from there, not from the loopback."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            pytest.skip("this machine has no network address of its own: no phone could call")
        return probe.getsockname()[0]


def _show_code(bench) -> str:
    """Open the card, show a code, and return what a phone's camera reads off the screen."""
    if not bench.there("Show a code"):
        bench.page.get_by_text("Shoot with a phone").click()
    bench.tap("Show a code")
    picture = bench.page.get_by_alt_text("code that opens this inspection").screenshot()
    shown = cv2.imdecode(np.frombuffer(picture, np.uint8), cv2.IMREAD_GRAYSCALE)
    read, _, _ = cv2.QRCodeDetector().detectAndDecode(cv2.resize(shown, None, fx=2, fy=2))
    return read


def test_a_phone_shoots_into_the_inspection_of_its_code_until_shut_out(
    person, desktop, photos, own_address, server
):
    bench, phone, stranger = person(desktop), person(), person()
    bench.begin("Invented shared")
    bench.go(bench.query("plugs"))
    inspection = re.search(r"\bi=(\w+)", bench.page.url)[1]
    network = f"http://{own_address}:{server.port}/"

    stranger.page.goto(f"{network}?i={inspection}&v=plugs")
    stranger.page.wait_for_selector("text=belongs to the shop's computer", timeout=60_000)
    assert stranger.page.get_by_role("button", name="Causes").count() == 0

    code = _show_code(bench)
    assert code.startswith(network)
    phone.page.goto(code)
    phone.arrived()
    assert "Invented shared" in phone.page.inner_text("h1")
    phone.page.locator(".st-key-tile-2 button").click()
    phone.page.wait_for_selector("h2:has-text('Plug 2')")
    phone.calm()
    phone.upload(photos[1])

    # nobody touches the computer: what the phone took in comes by itself
    bench.page.wait_for_selector("img[alt='plug 2']", timeout=60_000)
    bench.page.wait_for_selector("text=1 phone let in")

    stranger.page.goto(code)
    stranger.page.wait_for_selector("text=used up or too old", timeout=60_000)

    bench.tap("Shut out all phones")
    phone.page.reload()
    phone.page.wait_for_selector("text=belongs to the shop's computer", timeout=60_000)
