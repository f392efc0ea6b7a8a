"""What animals wait for: the gate into a water, and in time lots, treatments and release."""
