"""The complete example of the format page: two joints of a tail, run and hung in slips."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

PAGE = Path(__file__).resolve().parents[2] / "docs" / "reference" / "procedure_format.md"


def example_text(number: int = 0) -> str:
    """A JSON block of the page: 0 the example that is proved."""
    found = re.findall(r"^```json\n(\{\n.*?)^```", PAGE.read_text(encoding="utf-8"), re.S | re.M)
    return str(found[number])


def example() -> dict[str, Any]:
    """The example as plain data."""
    data: dict[str, Any] = json.loads(example_text())
    return data
