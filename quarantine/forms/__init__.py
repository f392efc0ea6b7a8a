"""Sheets of quarantine: what was typed, turned into a command."""
