"""Commands of quarantine for the shell."""
