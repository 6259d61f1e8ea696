"""The script that Streamlit runs again on every touch."""

from plugsight.page.show import show

show()
