"""The words of each kind of message."""
