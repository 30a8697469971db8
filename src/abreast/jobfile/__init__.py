"""A job on file: a folder of TOML and CSV, or one workbook, read strictly and written whole."""

from abreast.jobfile.issues import Echo, Issue, ReadResult
from abreast.jobfile.read import read_job
from abreast.jobfile.schema import job_schema
from abreast.jobfile.starter import starter
from abreast.jobfile.write import write_folder, write_workbook

__all__ = [
    "Echo",
    "Issue",
    "ReadResult",
    "job_schema",
    "read_job",
    "starter",
    "write_folder",
    "write_workbook",
]
