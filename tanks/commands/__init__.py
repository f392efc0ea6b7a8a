"""The only code that changes what is remembered about tanks."""
