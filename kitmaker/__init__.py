"""kitmaker: turn a quilt pattern's fabric requirements into a shop's kits."""

__version__ = "0.1.0"
