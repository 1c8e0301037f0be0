"""Scenes of primitives in millimetres, and the sheets they are printed on."""
