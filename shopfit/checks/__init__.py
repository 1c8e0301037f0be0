"""The independent witness: measures any layout afresh and says what it finds."""
