"""What cannot go together in a roller chain."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.buildfile.model import Build
from jackshaft.buildfile.problems import Problem
from jackshaft.tables.chain_marks import read_chain
from jackshaft.units import show

#: Two pitches that differ by less are one, as a share.
ALIKE = 0.005


def chain_problems(build: Build, at: str) -> Iterator[Problem]:
    """Yield what is wrong with a stage's chain: its number, and a pitch or strands that are not those of its number."""
    marked = build.get(f"{at}.chain")
    if marked is None:
        return
    try:
        row, strands = read_chain(marked)
    except ValueError as why:
        yield build.problem(f"{at}.chain", f"'{marked}'", str(why))
        return
    pitch, written = build.measure(f"{at}.chain_pitch"), build.get(f"{at}.strands")
    if pitch is not None and abs(pitch.si / (row["pitch_mm"] / 1000.0) - 1.0) > ALIKE:
        wanted = f"{show(row['pitch_mm'] / 1000.0, 'length', build.system)}, the pitch of {row['number']}, or no pitch"
        yield build.problem(f"{at}.chain_pitch", f"'{pitch.text}' beside chain '{marked}'", wanted)
    if strands and written and strands != written:
        yield build.problem(f"{at}.strands", f"{written} beside chain '{marked}'", f"{strands}, or no strands")


__all__ = ["chain_problems"]
