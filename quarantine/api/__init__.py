"""Animals, read by programs; what is done to them is done through the deeds."""
