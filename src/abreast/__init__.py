"""Space-out, proof and record of twin-string ESP completions with a Y-tool."""

__version__ = "0.1.0"
