"""Ramps that fit a site, and aisles that fit a room: every arrangement, by trying all."""
