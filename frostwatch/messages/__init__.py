"""Saying it: wording, outbox, channels."""
