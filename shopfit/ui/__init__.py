"""The page in the browser; the only room that knows streamlit."""
