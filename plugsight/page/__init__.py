"""Page room: the whole job in a browser, thin over the casebook. The only room that imports Streamlit."""

from plugsight.page.run import run
from plugsight.page.serve import serve

__all__ = ["run", "serve"]
