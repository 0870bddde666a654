"""What to tell whom, and by when."""
