"""Texts in several languages: English in the code, every other one in a gettext catalogue."""
