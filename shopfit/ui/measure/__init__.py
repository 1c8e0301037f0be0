"""Measuring the shell."""
