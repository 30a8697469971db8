"""The JSON Schema of a job, made from the model."""

from __future__ import annotations

from typing import Any

from abreast.jobfile.layout import FORMAT
from abreast.model import Job

__all__ = ["job_schema"]


def job_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a job as JSON: SI numbers, heights in the ESP frame.

    Examples
    --------
    >>> job_schema()["$id"]
    'urn:abreast:job:1'
    """
    schema = Job.model_json_schema()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:abreast:job:{FORMAT}",
        **schema,
    }
