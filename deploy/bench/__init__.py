"""Benches: what Penstock computes, scored and timed."""
