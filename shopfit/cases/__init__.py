"""Cases: scenarios being made, with a layout, undo, a place on this machine, and a zip."""
