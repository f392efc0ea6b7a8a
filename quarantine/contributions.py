"""What quarantine plugs into the floors below: every point of contact is on this page."""
