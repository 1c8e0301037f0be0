"""Measures the solver: drawn shops in five sizes, shops whose optimum is known, and how long."""
