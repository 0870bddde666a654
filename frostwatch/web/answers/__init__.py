"""Your van: the page behind the link of a message, and replies in words. No account, no cookie."""
