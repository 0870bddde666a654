"""Entering a place from nothing: where it is, what stands there, who looks after it, a first look.

What was typed is kept as it was typed; nothing of it is entered, and nobody is written to, before
the first look is confirmed.
"""
