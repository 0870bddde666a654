"""frostwatch: who must drain which vehicle by when, from an open forecast and a heat-loss model."""

__version__ = "0.1.0"
