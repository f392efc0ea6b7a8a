"""What templates may ask for beside what their view hands them."""
