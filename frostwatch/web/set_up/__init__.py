"""Entering a place: what was typed, what it means, and everything in it that must be put right.

Nothing here reads a clock, a file or the network. A step's fields are kept as they were typed, so
that nothing is lost; what they mean is worked out from them each time.
"""
