"""Pages of quarantine."""
