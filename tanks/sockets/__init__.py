"""Where higher apps plug into the tanks."""
