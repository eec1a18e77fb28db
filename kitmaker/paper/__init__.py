"""Everything printed or written of a finished plan."""
