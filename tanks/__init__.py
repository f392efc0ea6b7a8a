"""Vessels and the waters they share, what is measured and dosed, and how a filter is proven."""
