"""What each page shows: frozen views, worded and sorted, for templates that only lay out."""
