"""What is found from one build: checks, tables and facts, chapter by chapter in the order of the torque's way."""

from jackshaft.results.chapter import WHOLE, Chapter, Detail, Scope, chapters
from jackshaft.results.findings import Draft, Fault, Findings, label, out_of_date
from jackshaft.results.reader import Reader, Unknown
from jackshaft.results.running import Again, Results, Wanted, judging, work_up
from jackshaft.results.values import Number, Value, text_of

__all__ = [
    "WHOLE",
    "Again",
    "Chapter",
    "Detail",
    "Draft",
    "Fault",
    "Findings",
    "Number",
    "Reader",
    "Results",
    "Scope",
    "Unknown",
    "Value",
    "Wanted",
    "chapters",
    "judging",
    "label",
    "out_of_date",
    "text_of",
    "work_up",
]
