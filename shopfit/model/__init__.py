"""What is given and what was decided, as frozen values without algorithms."""
