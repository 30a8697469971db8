"""Hold ledger: who holds what at every step, with heights; the rules that may never break."""

from abreast.mechanics.ledger.ledger import HoldLoad, Ledger, StepNumbers
from abreast.mechanics.ledger.loads import Loads, loads
from abreast.mechanics.ledger.rules import RULES, Fault
from abreast.mechanics.ledger.state import Guard, Hold, State, start_state
from abreast.mechanics.ledger.watch import Link

__all__ = [
    "RULES",
    "Fault",
    "Guard",
    "Hold",
    "HoldLoad",
    "Ledger",
    "Link",
    "Loads",
    "State",
    "StepNumbers",
    "loads",
    "start_state",
]
