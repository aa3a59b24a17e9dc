"""What stands on the sheets as plain data for scripts: the ``sheets`` of ``facts --json``."""

from __future__ import annotations

from collections.abc import Iterable

from jackshaft.render.data import value_data
from jackshaft.results import Number, Results
from jackshaft.sheets import flat, pulley, shaft
from jackshaft.sheets.shaft_pages import rows_of
from jackshaft.sheets.turned import operations


def sheets_data(results: Results) -> list[dict]:
    """Return what stands on each shaft sheet and each pulley sheet of a build."""
    return [
        *(_shaft(sheet) for sheet in shaft.shaft_sheets(results)),
        *(_pulley(sheet, results.build.system) for sheet in pulley.pulley_sheets(results)),
        *(_flat(sheet, results.build.system) for sheet in flat.flat_sheets(results)),
    ]


def _shaft(sheet: shaft.Sheet) -> dict:
    return {
        "sheet": "shaft",
        "part": sheet.shaft,
        "rows": [row._asdict() for row in rows_of(sheet)],
        "warnings": list(sheet.warnings),
        "notes": list(sheet.notes),
    }


def _pulley(sheet: pulley.Sheet, system: str) -> dict:
    return _part(sheet, system, operations(sheet)) | {"sheet": "pulley", "grooves": sheet.grooves}


def _flat(sheet: flat.Flat, system: str) -> dict:
    return _part(sheet, system, flat.flat_operations(sheet)) | {"sheet": "flat pulley"}


def _part(sheet: pulley.Sheet | flat.Flat, system: str, steps: Iterable[str]) -> dict:
    sizes = [
        {"what": s.what, "size": value_data(Number(s.size, s.kind, system, s.low, s.high, source=s.source))}
        for s in sheet.sizes
    ]
    return {
        "part": sheet.pulley,
        "stage": sheet.stage,
        "turned": sheet.turned,
        "sizes": sizes,
        "steps": list(steps),
        "warnings": list(sheet.warnings),
        "notes": list(sheet.notes),
    }


__all__ = ["sheets_data"]
