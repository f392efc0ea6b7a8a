"""The only code that changes what the house remembers."""
