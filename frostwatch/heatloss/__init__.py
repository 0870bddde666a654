"""What the water will do: the heat-loss model."""
