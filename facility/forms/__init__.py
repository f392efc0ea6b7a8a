"""Sheets to fill in: what was typed, turned into a command."""
