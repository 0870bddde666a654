"""One file per step, in order; a released step is never edited."""
