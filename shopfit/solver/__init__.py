"""Places fixtures, runs and goods, and proves how good the placing is."""
