"""A pulley that is one piece with the clutch: a cure that changes it is left out, or says what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from jackshaft import tables
from jackshaft.buildfile import Build
from jackshaft.results.cure import Proposal

#: Kinds of clutch that are sold with their pulley built in.
KINDS = ("electromagnetic", "centrifugal")
#: Sections whose top widths differ by less than this, mm, run in one groove, as A, AX and AA do.
SAME_WIDTH = 0.45
#: What the words of a cure end with where the build does not say how clutch and pulley are made.
IF_NOT = "See first that the pulley is not built into the clutch."


def allowed(build: Build, proposal: Proposal) -> Proposal | None:
    """Return a proposal as it may be offered; None where it changes a pulley that is said to be built in."""
    said = build.get("clutch.pulley_built_in")
    if said is False or not _changes_it(build, proposal.changes):
        return proposal
    if said:
        return None
    if IF_NOT in proposal.words:
        return proposal
    return replace(proposal, words=f"{proposal.words} {IF_NOT}")


def on_clutch(build: Build, stage: str) -> tuple[str, ...]:
    """Return the pulleys of a stage that are, or where the build does not say may be, one piece with the clutch."""
    if build.get("clutch.pulley_built_in") is False:
        return ()
    return tuple(pulley for name, pulley in _on_clutch(build) if name == stage)


def _changes_it(build: Build, changes: Mapping[str, str]) -> bool:
    """Tell whether changes want another size, groove or count of grooves of a pulley on the clutch."""
    for stage, pulley in _on_clutch(build):
        at = f"stage[{stage}]"
        if changes.keys() & {f"{at}.pulley[{pulley}].{what}" for what in ("diameter", "surface")}:
            return True
        belts = changes.get(f"{at}.belts", "")
        if belts.isdecimal() and int(belts) > (build.get(f"{at}.belts") or 1):
            return True
        section = changes.get(f"{at}.section")
        if section and not _same_groove(section, build.get(f"{at}.section")):
            return True
    return False


def _on_clutch(build: Build) -> Iterator[tuple[str, str]]:
    """Yield stage and pulley of what may be built into the clutch: what its shaft drives; at a last shaft, its drive.

    A clutch of a kind not said is taken as an electromagnetic one, as its chapter takes it.
    """
    if not build.has("clutch") or build.get("clutch.kind") not in (None, *KINDS):
        return
    shaft = build.get("clutch.shaft") or "engine"
    for end, which in (("from", "driver"), ("to", "driven")):
        stages = [s for s in build.names("stage") if build.get(f"stage[{s}].{end}") == shaft]
        found = [(s, build.get(f"stage[{s}].{which}")) for s in stages]
        yield from (one for one in found if one[1] is not None)
        if stages:
            return


def _same_groove(one: str, other: str | None) -> bool:
    """Tell whether two sections run in one groove: their top widths are alike."""
    if one == other:
        return True
    mine, theirs = (
        [row["top_width_mm"] for row in tables.table("belt_sections").where(section=s).rows if row["top_width_mm"]]
        for s in (one, other)
    )
    return any(abs(a - b) < SAME_WIDTH for a in mine for b in theirs)


__all__ = ["IF_NOT", "KINDS", "allowed", "on_clutch"]
