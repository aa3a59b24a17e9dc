"""The subjects of the workbook: a folder each, found by themselves; see :mod:`jackshaft.results.chapter`."""
