"""One entry for ``python app.py`` and ``streamlit run app.py``."""

from streamlit import runtime

from plugsight.page.serve import serve
from plugsight.page.show import show


def run() -> None:
    """Show the page inside a running Streamlit; start a server of its own otherwise."""
    if runtime.exists():
        show()
    else:
        serve()
