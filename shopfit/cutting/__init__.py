"""Cuts pieces from stock: sheets by guillotine, lengths by the saw; knows nothing of shops."""
