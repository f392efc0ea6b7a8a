"""An invented facility with eight weeks of history, made through the same commands as any other."""
