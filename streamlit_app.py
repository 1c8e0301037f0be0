"""Opens the page from a checkout: ``streamlit run streamlit_app.py``."""

from shopfit.ui import show

show()
