"""What is known about the water: entries, and the state that follows from them."""
