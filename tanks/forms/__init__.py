"""Sheets to fill in at the tanks."""
