"""A jam of the work at a shaft: what the engine brings, what runs on into it, and what a stage on the way passes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from jackshaft.parts.chain_stage import KIND as CHAIN
from jackshaft.parts.chain_stage import read_chain_stage
from jackshaft.parts.outside_loads import clutch_most, torque_over, up_to_guard, way_to
from jackshaft.parts.running_on import jams_after, run_on
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader

JAM = "jam"


def grips_of(done: Mapping[str, Findings]) -> Mapping:
    """Return what the grip chapter found of each belt stage."""
    return (done["grip"].data if "grip" in done else None) or {}


class Jam(NamedTuple):
    """Load of a shaft in a jam as far as it is known, and the most that it may be; what is between lacks the keys."""

    share: float
    most: float
    keys: tuple[str, ...]


def jam_of(reader: Reader, done: Mapping[str, Findings], shaft: str, share: float, *, leaving: bool = False) -> Jam:
    """Return the load of a jam with what runs on into it, up to what stands before it and after it.

    Parameters
    ----------
    reader : Reader
        Reads the build.
    done : mapping
        The chapters before, with "ratio" and "grip".
    shaft : str
        Name of the shaft.
    share : float
        What the engine brings of it, over the load at work.
    leaving : bool, optional
        For what the shaft drives, as in :func:`jackshaft.parts.running_on.run_on`.
    """
    ratio = done["ratio"].data
    state = ratio.shaft(shaft)
    if state is None or not state.torque:
        return Jam(share, share, ())

    def spare(stage: str, at: str) -> float:
        here = ratio.shaft(at)
        if stage == "clutch":
            holds = clutch_most(reader, ratio, here)
            return np.inf if holds is None else max(holds - share * (here.torque or 0.0), 0.0)
        holds = passes_most(reader, done, stage)
        return np.inf if holds is None or not here.torque else max(holds - share, 0.0) * here.torque

    runs, after = run_on(reader, ratio, shaft, spare, leaving=leaving), passed_on(reader, done, shaft)

    def whole(more: float) -> float:
        return up_to_guard(reader, ratio, state, share, min(share + more / state.torque, max(after, share)))

    known = whole(runs.known)
    most = whole(runs.most) if runs.keys else known
    return Jam(known, most, runs.keys if most > known else ())


def passes_most(reader: Reader, done: Mapping[str, Findings], stage: str) -> float | None:
    """Return the load over that at work at which a stage surely lets go: its belt slips, its chain breaks.

    A chain by the least breaking load that is published for its size. None where it is not known.
    """
    grip, ratio = grips_of(done).get(stage), done["ratio"].data
    case = None if grip is None else grip.case(JAM)
    if case is not None:
        return None if case.margin_high is None else max(case.factor * case.least_high, 0.0)
    chain = read_chain_stage(reader, stage) if reader.get(f"stage[{stage}].kind") == CHAIN else None
    start = ratio.through(stage)
    if chain is None or chain.strength is None or start is None or not start.torque:
        return None
    return chain.strength * chain.mean_radius / abs(start.torque)


def passed_on(reader: Reader, done: Mapping[str, Findings], shaft: str) -> float:
    """Return the load of a shaft above which a stage between it and each jam lets go; ``inf`` where none does."""
    ratio, most = done["ratio"].data, []
    state = ratio.shaft(shaft)
    for jam in jams_after(ratio, shaft):
        least = np.inf
        for stage in way_to(ratio, jam):
            if shaft in {stage.start, *(s.start for s in way_to(ratio, stage.start))} and shaft != jam:
                holds, end = passes_most(reader, done, stage.name), ratio.shaft(stage.end)
                if holds is not None and end.torque:
                    least = min(least, holds * end.torque * torque_over(state, end) / state.torque)
        most.append(least)
    return float(max(most, default=np.inf))


#: From so many times on, nothing that is written down bounds a jam.
BOUNDLESS = 100.0


def jam_words(times: float) -> str:
    """Return in words what of a jam is not known, by how many times harder it may be than is known."""
    if np.isinf(times):
        return "What a jam of the work brings is not known: nothing that is written down bounds it."
    most = "how much it brings is not known" if times > BOUNDLESS else f"with it a jam may be {times:.1f} times as hard"
    return f"What turns besides the work runs on into a jam of it. Not all of that is written down: {most}."


__all__ = ["JAM", "Jam", "grips_of", "jam_of", "jam_words", "passed_on", "passes_most"]
