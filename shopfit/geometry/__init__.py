"""Where things are, never whether that is enough."""
