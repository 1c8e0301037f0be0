"""How much a shop can show against one thing: aisle width, money, or the number of a fixture."""
