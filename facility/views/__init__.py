"""Pages: load what one may see, ask the rules, show the answer."""
