"""What is printed and handed out: the work pack, the tally, the lists that go with a plan.

A document is made from a job, an assembly and findings, as a table; the table is
then written as text for a terminal, as CSV or as a workbook.
"""

from abreast.documents.alternatives import (
    alternatives_text,
    blocking_words,
    by_reason,
    moves_seat,
)
from abreast.documents.attention import attention, by_check
from abreast.documents.brief import brief, missing
from abreast.documents.lists import corrections_table, findings_table
from abreast.documents.table import Cell, Column, Row, Table
from abreast.documents.table_out import csv_of, text_of, workbook_of
from abreast.documents.tally import Sums, Tally, TallyRow, tally
from abreast.documents.tally_out import tally_csv, tally_text, tally_workbook
from abreast.documents.well_part import WellPart, well_part
from abreast.documents.workpack import PackDrawing, workpack

__all__ = [
    "Cell",
    "Column",
    "PackDrawing",
    "Row",
    "Sums",
    "Table",
    "Tally",
    "TallyRow",
    "WellPart",
    "alternatives_text",
    "attention",
    "blocking_words",
    "brief",
    "by_check",
    "by_reason",
    "corrections_table",
    "csv_of",
    "findings_table",
    "missing",
    "moves_seat",
    "tally",
    "tally_csv",
    "tally_text",
    "tally_workbook",
    "text_of",
    "well_part",
    "workbook_of",
    "workpack",
]
