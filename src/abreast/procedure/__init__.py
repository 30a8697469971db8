"""Running procedures: read, made from a plan, proved, put into words, and repaired."""
