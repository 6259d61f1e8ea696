"""Every view at phone and desktop size, in light and dark: no serious finding of axe-core, and a picture to look at.

Pictures of all views by one command::

    PLUGSIGHT_SCREENS=screens python -m pytest tests/browser/test_views.py
"""

import os
from pathlib import Path

import pytest

from plugsight.casebook import Casebook
from plugsight.readings import ReadingEntry, ReadingKind
from plugsight.store import Store
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Context, EngineFacts, Fuel, FuelSystem, Ignition, Place, PlugSpec

axe = pytest.importorskip(
    "axe_playwright_python.sync_playwright",
    reason="axe-playwright-python is not installed: accessibility of the page was not checked",
)

VIEWS = (
    "start",
    "engine",
    "plugs",
    "plug",
    "causes",
    "verdicts",
    "report",
    "outcome",
    "history",
    "help",
    "model",
)
SIZES = {"phone": {"width": 390, "height": 844}, "desktop": {"width": 1280, "height": 900}}


@pytest.fixture(scope="module")
def inspection(server) -> str:
    """The invented four-cylinder, decided and gauged, put into the store that the server reads."""
    photos = Path(__file__).parents[2] / "plugsight" / "cli" / "demo" / "photos"
    book = Casebook(Store.open(server.store))
    engine = EngineFacts(
        "Invented four-cylinder",
        4,
        ignition=Ignition.COIL_ON_PLUG,
        fuel_system=FuelSystem.PORT_INJECTION,
        fuel=Fuel.PETROL,
    )
    context = Context(complaint="stumbles when cold", complaints=("misfire",), odometer_km=128400.0)
    started = book.start(
        engine, PlugSpec("M14x1.25", gap_mm=(0.75, 0.85), resistor=True), context, invented=True
    )
    for k, deposit in enumerate((Deposit.LIGHT, Deposit.LIGHT, Deposit.DRY_CARBON, Deposit.LIGHT), 1):
        place = Place(k)
        book.decide(book.load(started.id), place, [deposit], who="R. Vale")
        book.add_photo(book.load(started.id), place, f"{k}_side.jpg", (photos / f"{k}_side.jpg").read_bytes())
        book.read(book.load(started.id), ReadingEntry(place, ReadingKind.GAUGE, "0.80"))
    return started.id


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", list(SIZES))
def test_views_are_accessible(person, inspection, size, scheme):
    bench = person(SIZES[size], scheme)
    found = []
    for view in VIEWS:
        bench.go("" if view == "start" else f"?i={inspection}&v={view}&by=R.+Vale")
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
