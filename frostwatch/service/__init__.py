"""One pass, its schedule, replay and look-up services."""
