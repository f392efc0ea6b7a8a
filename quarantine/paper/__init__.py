"""What quarantine tells on paper."""
