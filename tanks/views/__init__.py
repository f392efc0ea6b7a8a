"""Pages of the tanks."""
