"""Every view at phone and desktop size, in light and dark: no serious finding of axe-core, and a picture to look at.

Pictures of all views, each size in light and in dark, by one command::

    PLUGSIGHT_SCREENS=screens python -m pytest tests/browser/test_views.py
"""

import os
from pathlib import Path

import cv2
import numpy as np
import pytest

from plugsight.casebook import Casebook
from plugsight.page.bench_answers import SOUND
from plugsight.readings import ReadingEntry, ReadingKind
from plugsight.store import Store
from plugsight.vocabulary.bench import BenchFinding
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Context, EngineFacts, Fuel, FuelSystem, Ignition, Place, PlugSpec

axe = pytest.importorskip(
    "axe_playwright_python.sync_playwright",
    reason="axe-playwright-python is not installed: accessibility of the page was not checked",
)

VIEWS = {
    "start": "",
    "engine": "?i={done}&v=engine",
    "plugs": "?i={done}&v=plugs",
    "plug": "?i={done}&v=plug&c=2",
    "causes": "?i={done}&v=causes",
    "verdicts": "?i={done}&v=verdicts",
    "report": "?i={done}&v=report",
    "outcome": "?i={done}&v=outcome",
    "history": "?i={done}&v=history",
    "help": "?i={done}&v=help",
    "model": "?v=model",
    "begun-plugs": "?i={begun}&v=plugs",
    "begun-plug": "?i={begun}&v=plug&c=1",
    "begun-causes": "?i={begun}&v=causes",
    "begun-history": "?i={begun}&v=history",
}
"""Address of every view: of an inspection that is done, and of one just begun whose only photo shows no plug."""
SIZES = {"phone": {"width": 390, "height": 844}, "desktop": {"width": 1366, "height": 850}}
ENGINE = EngineFacts(
    "Invented four-cylinder",
    4,
    ignition=Ignition.COIL_ON_PLUG,
    fuel_system=FuelSystem.PORT_INJECTION,
    fuel=Fuel.PETROL,
)
SPEC = PlugSpec("M14x1.25", gap_mm=(0.75, 0.95), resistor=True)
DEPOSITS = (Deposit.LIGHT, Deposit.LIGHT, Deposit.DRY_CARBON, Deposit.LIGHT)


@pytest.fixture(scope="module")
def inspections(server) -> dict[str, str]:
    """Ids of an invented four-cylinder, decided, read and with a past, and of an engine just begun."""
    photos = Path(__file__).parents[2] / "plugsight" / "cli" / "demo" / "photos"
    book = Casebook(Store.open(server.store))
    for km, gap in ((98_000.0, 0.78), (113_500.0, 0.80), (128_400.0, 0.83)):
        context = Context(complaint="stumbles when cold", complaints=("misfire",), odometer_km=km)
        done = book.start(ENGINE, SPEC, context, invented=True).id
        for k, deposit in enumerate(DEPOSITS, 1):
            place = Place(k)
            book.decide(book.load(done), place, [deposit], who="R. Vale")
            book.read(book.load(done), ReadingEntry(place, ReadingKind.GAUGE, f"{gap + k / 100:.2f}"))
            book.read(book.load(done), ReadingEntry(place, ReadingKind.RESISTANCE, "5.2k"))
    for k in (1, 2, 3, 4):
        data = (photos / f"{k}_side.jpg").read_bytes()
        book.add_photo(book.load(done), Place(k), f"{k}_side.jpg", data)
        if k != 3:
            for question, answer in SOUND.items():
                book.answer(book.load(done), Place(k), BenchFinding(question, answer))
            for kind, text in ((ReadingKind.CONTINUITY, "sounds"), (ReadingKind.INSULATION, "OL")):
                book.read(book.load(done), ReadingEntry(Place(k), kind, text))
    begun = book.start(EngineFacts("Invented pump", 2), SPEC)
    _, bench = cv2.imencode(".jpg", np.full((900, 1200, 3), 128, np.uint8))
    book.add_photo(begun, Place(1), "bench.jpg", bench.tobytes())
    return {"done": done, "begun": begun.id}


def test_an_empty_store_is_no_dead_end(person):
    bench = person()
    bench.go()
    _picture(bench.page, "empty-phone-light", SIZES["phone"])
    assert bench.there("Begin")


WAYS = [("phone", "light"), ("desktop", "dark")]
if os.environ.get("PLUGSIGHT_SCREENS"):
    WAYS += [("phone", "dark"), ("desktop", "light")]


@pytest.mark.parametrize(("size", "scheme"), WAYS)
def test_views_are_accessible(person, inspections, size, scheme):
    bench = person(SIZES[size], scheme)
    found = []
    for view, query in VIEWS.items():
        bench.go(query.format(**inspections) + ("&by=R.+Vale" if query else ""))
        _picture(bench.page, f"{view}-{size}-{scheme}", SIZES[size])
        for violation in axe.Axe().run(bench.page).response["violations"]:
            if violation["impact"] in {"serious", "critical"}:
                where = violation["nodes"][0]["html"][:120]
                found.append(f"{view}: {violation['id']} ({violation['impact']}) {where}")
    assert found == []


def _picture(page, name: str, size: dict[str, int]) -> None:
    """Keep a picture of the whole view where the environment names a folder for it."""
    folder = os.environ.get("PLUGSIGHT_SCREENS")
    if not folder:
        return
    tall = page.evaluate("document.querySelector('[data-testid=stMain]').scrollHeight")
    page.set_viewport_size({"width": size["width"], "height": max(size["height"], int(tall) + 8)})
    page.wait_for_timeout(600)
    Path(folder).mkdir(parents=True, exist_ok=True)
    page.screenshot(path=str(Path(folder) / f"{name}.png"))
    page.set_viewport_size(size)
