"""Shop name, contact and logo for the report, kept for this machine beside plugsight's other settings."""

import base64
import json
from io import BytesIO
from pathlib import Path

import streamlit as st
from PIL import Image, UnidentifiedImageError
from platformdirs import user_config_path

from plugsight.page.session import attempt
from plugsight.report import Shop
from plugsight.vocabulary.errors import InputError

MOST_LOGO_BYTES = 2_000_000


def ask_shop() -> Shop:
    """Show the setting folded away and return the shop as it stands."""
    shop = read_shop()
    with st.expander(f"Shop on the report: {shop.name or 'not set'}"):
        name = st.text_input("Shop name", shop.name, max_chars=80)
        contact = st.text_input("Address or telephone", shop.contact, max_chars=120)
        logo = st.file_uploader("Logo", ["png", "jpg", "jpeg"])
        if st.button("Keep for this machine", key="keep-shop"):
            attempt(lambda: write_shop(Shop(name, contact, _png(logo.getvalue()) if logo else shop.logo_png)))
            st.rerun()
    return shop


def read_shop() -> Shop:
    """Return the kept shop; an empty one where none is kept or the file can't be read."""
    try:
        kept = json.loads(_file().read_text(encoding="utf-8"))
        logo = base64.b64decode(kept["logo_png"]) or None
        return Shop(str(kept["name"]), str(kept["contact"]), logo)
    except (OSError, ValueError, KeyError, TypeError):
        return Shop()


def write_shop(shop: Shop) -> None:
    """Keep the shop for this machine."""
    file = _file()
    file.parent.mkdir(parents=True, exist_ok=True)
    logo = base64.b64encode(shop.logo_png or b"").decode()
    file.write_text(
        json.dumps({"name": shop.name, "contact": shop.contact, "logo_png": logo}), encoding="utf-8"
    )


def _file() -> Path:
    return user_config_path("plugsight", appauthor=False) / "shop.json"


def _png(data: bytes) -> bytes:
    """Bring a logo to a small PNG."""
    if len(data) > MOST_LOGO_BYTES:
        raise InputError("logo", "the file is larger than 2 MB", "Save it smaller.", f"{len(data)} bytes")
    try:
        picture = Image.open(BytesIO(data)).convert("RGBA")
    except (UnidentifiedImageError, OSError) as problem:
        raise InputError("logo", "this is no readable picture", "Save it as PNG or JPEG.") from problem
    picture.thumbnail((800, 360))
    file = BytesIO()
    picture.save(file, "PNG")
    return file.getvalue()
