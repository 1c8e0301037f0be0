"""The script that `shopfit page` hands to Streamlit."""

from shopfit.ui import show

show()
