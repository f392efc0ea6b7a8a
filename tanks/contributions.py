"""What tanks plugs into the facility: every point of contact is on this page."""
