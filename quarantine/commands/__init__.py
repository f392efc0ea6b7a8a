"""What opens the gate, and what came in through it."""
