"""The range: what is sold."""
