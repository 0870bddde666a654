"""Open forecast APIs, one file each: fetch and parse, nothing else."""
