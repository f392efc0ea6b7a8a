"""Where other apps plug in: plain typed rows, kept in plug order."""
