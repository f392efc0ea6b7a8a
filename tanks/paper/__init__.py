"""Documents and pictures of the tanks."""
