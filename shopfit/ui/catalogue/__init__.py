"""What may be bought, and what is wanted."""
