"""The script that `shopfit page` hands to Streamlit."""

from shopfit.ui import show

# Processes that search begin by reading this script too, and are not to draw the page.
if __name__ == "__main__":
    show()
