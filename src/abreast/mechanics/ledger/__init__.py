"""Hold ledger: who holds what at every step, with heights; the rules that may never break."""
