"""The sheets beside the record, one page each: what to buy, assembly, first run, finding a fault, service."""

from __future__ import annotations

from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.record import assembly, buying, faults, first_run, service
from jackshaft.record.lined_up import Cell, Sheet, sheet
from jackshaft.record.opening import overall, verdict_of
from jackshaft.record.outside import POLICY, refuse_outside
from jackshaft.record.words import NO_CERTIFICATE
from jackshaft.render.html import environment
from jackshaft.results import Results

#: Title and template of each sheet, by the name of its file.
SHEETS = {
    "buying_list": ("Buying and cut list", "buying.html.j2"),
    "putting_it_together": ("Putting it together", "assembly.html.j2"),
    "first_run": ("First run", "first_run.html.j2"),
    "finding_a_fault": ("Finding a fault", "faults.html.j2"),
    "service_card": ("Service card", "service.html.j2"),
}


def values(results: Results) -> dict[str, object]:
    """Return what the templates of the sheets are filled with."""
    wants = buying.buying(results)
    stages = [(s.title, s.first, _plain(first_run.HEADS, s.steps)) for s in first_run.first_run(results)]
    together = [(s.title, s.first, _plain(first_run.HEADS, s.steps)) for s in assembly.assembly(results)]
    return {
        "beside": [(name.replace("_", "-"), *sheet) for name, sheet in SHEETS.items()],
        "assembly": together,
        "service": _plain(service.HEADS, service.service(results)),
        "buying": {
            "ready": sheet(buying.HEADS, buying.rows(wants)),
            "held": sheet(buying.HELD_HEADS, buying.held_rows(wants)),
        },
        "faults": faults.faults(results),
        "first_run": {"stages": stages, "verdict": verdict_of(results), "overall": overall(results)},
    }


def _plain(headings: tuple[str, ...], steps: tuple[tuple[str, ...], ...]) -> Sheet:
    """Return steps as a table of words, whose last columns are boxes to fill in."""
    boxes = (Cell(""),) * 3
    return Sheet(headings, tuple((*map(Cell, s), *boxes) for s in steps), (False,) * len(headings), half=False)


def sheet_pages(results: Results, running: str) -> dict[str, str]:
    """Return each sheet as a page of its own, by the name of its file.

    Raises
    ------
    OutsideReference
        If something on a page would be fetched from elsewhere.
    """
    build, filled = results.build, values(results)
    pages = {}
    for name, (title, inner) in SHEETS.items():
        pages[name] = (
            environment()
            .get_template("sheet.html.j2")
            .render(
                policy=POLICY,
                title=title,
                inner=inner,
                name=build.name,
                fingerprint=fingerprint(build),
                running=running,
                no_certificate=NO_CERTIFICATE,
                **filled,
            )
        )
        refuse_outside(pages[name])
    return pages


__all__ = ["SHEETS", "sheet_pages", "values"]
