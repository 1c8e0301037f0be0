"""Tables and forms of what is written, in the owner's units."""
