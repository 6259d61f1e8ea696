"""Keys for the complaint and for how the engine was last run (common practice, no source)."""

from collections.abc import Mapping
from types import MappingProxyType

COMPLAINTS: Mapping[str, str] = MappingProxyType(
    {
        "misfire": "misfires or runs on fewer cylinders",
        "misfire under load": "misfires under load",
        "hard start": "starts badly",
        "no start": "does not start",
        "rough idle": "idles unevenly",
        "poor economy": "uses too much fuel",
        "low power": "lacks power",
        "knock": "knocks or pings",
        "overheats": "runs hot or boils",
        "black smoke": "black smoke",
        "blue smoke overrun": "blue smoke on overrun or after idling",
        "blue smoke load": "blue smoke under load",
        "white smoke": "white smoke when warm, or loses coolant",
        "runs on": "keeps running or surges when switched off",
        "routine": "routine service, no complaint",
    }
)

LAST_RUN: Mapping[str, str] = MappingProxyType(
    {
        "warm under load": "warmed through, then worked under load",
        "idled": "idled for long",
        "short trip": "short cold trip",
        "cranked": "cranked without starting",
        "hard after slow": "hard acceleration after long slow running",
        "not known": "not known",
    }
)
