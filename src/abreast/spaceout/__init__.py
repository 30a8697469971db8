"""Which measured joints to run: the exact, proved space-out."""
