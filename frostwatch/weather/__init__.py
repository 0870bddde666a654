"""What the air will do: forecasts, members, the air at the vehicle."""
