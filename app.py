"""Starts the page: ``python app.py``, or ``streamlit run app.py``."""

from plugsight.page import run

run()
