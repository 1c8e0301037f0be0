"""Cuts pieces from stock: sheets by guillotine, lengths by the saw, in the order of the cuts."""
