"""What each command does, as functions from values to values and text; no click here."""
