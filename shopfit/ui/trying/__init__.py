"""Trying: fixtures moved by hand on the plan, with what the checks say at once."""
