"""Which Mitsuba variant this machine can run, found in a subprocess so that a native abort costs nothing."""

import os
import subprocess
import sys
from dataclasses import dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from plugsight.vocabulary.errors import InputError

VARIANTS = ("cuda_ad_rgb", "llvm_ad_rgb", "scalar_rgb")
"""In the order they are tried: a GPU, the CPU's vector units through LLVM, plain CPU code (about half as fast)."""

_PROBE = """
import mitsuba as mi
mi.set_variant({variant!r})
scene = mi.load_dict({{"type": "scene", "integrator": {{"type": "path"}}, "s": {{"type": "sphere"}},
    "e": {{"type": "constant"}},
    "sensor": {{"type": "perspective", "film": {{"type": "hdrfilm", "width": 4, "height": 4}}}}}})
import numpy as np
print("WORKS", float(np.array(mi.render(scene, spp=1)).mean()))
"""


@dataclass(frozen=True, slots=True)
class Engine:
    """A variant that rendered a picture here; ``why`` says what was passed over and what that costs."""

    variant: str
    why: str

    def start(self) -> Any:
        """Import Mitsuba, select the variant, and return the module."""
        _name_llvm()
        import mitsuba as mi  # noqa: PLC0415 - the render extra may be missing

        if mi.variant() != self.variant:
            mi.set_variant(self.variant)
        return mi


def _name_llvm() -> None:
    """Point Dr.Jit at a system LLVM where it finds none by itself; version 15 before others."""
    if os.environ.get("DRJIT_LIBLLVM_PATH"):
        return
    found: list[str] = []
    for folder in ("/usr/lib/x86_64-linux-gnu", "/usr/lib/aarch64-linux-gnu", "/usr/lib64", "/usr/lib"):
        for pattern in ("libLLVM-15.so*", "libLLVM-1[6-9].so*", "libLLVM.so.*", "libLLVM-14.so*"):
            found += sorted(map(str, Path(folder).glob(pattern)))
    if found:
        os.environ["DRJIT_LIBLLVM_PATH"] = found[0]


def _works(variant: str) -> bool:
    """Render four pixels in another process; an abort or a hang there is a plain no."""
    try:
        run = subprocess.run(  # noqa: S603 - our own interpreter and our own text
            [sys.executable, "-c", _PROBE.format(variant=variant)],
            capture_output=True,
            text=True,
            timeout=180,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return False
    return "WORKS" in run.stdout


@cache
def find_engine(wanted: str = "") -> Engine:
    """Return the first variant that works here, or the wanted one.

    Raises ``InputError`` when Mitsuba is not installed or no variant (or not the wanted one) can render.
    """
    try:
        version("mitsuba")
    except PackageNotFoundError:
        raise InputError(
            "rendering",
            "Mitsuba must be installed",
            "install the render extra: pip install 'plugsight[render]'",
        ) from None
    _name_llvm()
    passed: list[str] = []
    for variant in (wanted,) if wanted else VARIANTS:
        if _works(variant):
            why = f"{', '.join(passed)} did not run here" if passed else "first choice"
            if variant == "scalar_rgb":
                why += "; scalar_rgb is about half as fast as llvm_ad_rgb with a fitting LLVM (15 for Mitsuba 3.8)"
            return Engine(variant, why)
        passed.append(variant)
    raise InputError(
        "rendering",
        f"one of {', '.join(passed)} must be able to render",
        "install an LLVM library Mitsuba can use (15 for Mitsuba 3.8) and set DRJIT_LIBLLVM_PATH",
    )
