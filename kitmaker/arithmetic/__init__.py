"""Quilt arithmetic: finished size to cut size, joined lengths, borders, backing."""
