"""Every form the database ever had, and the way from each to the next."""
