"""What stands where, and whose it is: sites, vehicles, layouts, people."""
