"""The picture that is sent round beside a record: what stands at its head, in one PNG."""

from __future__ import annotations

from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.drawing.share import Sheet, machine, share_png
from jackshaft.record.glance import glance
from jackshaft.record.opening import overall, verdict_of
from jackshaft.record.post import END
from jackshaft.results import Results
from jackshaft.results.checks import SYMBOLS

#: Numbers on the picture.
MOST = 8


def picture(results: Results) -> bytes:
    """Return one PNG of a build: drawing, verdict, the first numbers at a glance, fingerprint and the warning."""
    rows = glance(results)
    more = f"{len(rows) - MOST} more numbers stand in the record. " if len(rows) > MOST else ""
    sheet = Sheet(
        results.build.name,
        verdict_of(results),
        f"{SYMBOLS[verdict_of(results)]} {overall(results)}",
        rows[:MOST],
        f"{more}Build {fingerprint(results.build)}. {END}",
    )
    return share_png(sheet, machine(results))


__all__ = ["MOST", "picture"]
