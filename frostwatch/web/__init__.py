"""Pages and the API."""
