"""A pulley that is one piece with the clutch: a search leaves its size, its grooves and their count as they are."""

from __future__ import annotations

import numpy as np

from jackshaft.results import Reader
from jackshaft.results.built_in import on_clutch
from jackshaft.search.problem import NothingCanWork, Problem


def with_clutch(problem: Problem, reader: Reader) -> dict:
    """Return what of a problem is otherwise because a pulley of its stage is on a clutch.

    Raises
    ------
    NothingCanWork
        Where the driven shaft must turn the other way with a pulley on it that is built into the clutch.
    """
    here = [p for p in (problem.driver, problem.driven) if p.name in on_clutch(problem.build, problem.stage)]
    now, sizes = int(reader.get(f"{problem.at}.belts") or 1), {"driver": problem.driver_sizes}
    sizes["driven"] = problem.driven_sizes
    notes, found = [], {}
    for pulley in here:
        which = "driver" if pulley is problem.driver else "driven"
        other = [s for s in sizes[which] if pulley.size is None or abs(s - pulley.size) > 1e-6]
        if not reader.get("clutch.pulley_built_in"):
            if other or problem.belts_most > now:
                notes.append(
                    f"It is not known whether {pulley.name} is built into the clutch. If it is, only layouts that "
                    f"leave its size as it is, with {_belts(now)} or fewer, can be built."
                )
            continue
        if pulley.size is None:
            raise NothingCanWork(f"the size of {pulley.name} is not known, and it is built into the clutch")
        same = 1 if problem.driver.inside == problem.driven.inside else -1
        if which == "driven" and problem.turns not in (0, same) and problem.belt.family != "double-V":
            raise NothingCanWork(
                f"{pulley.name} is built into the clutch, and the driven shaft would have to turn the other way: the "
                "belt would run on its grooves with its back"
            )
        found |= {f"{which}_sizes": np.array([pulley.size]), "belts_most": min(problem.belts_most, now)}
        found |= {"turns": same} if which == "driven" and problem.belt.family != "double-V" else {}
        if other or problem.belts_most > now:
            notes.append(
                f"{pulley.name} is built into the clutch. Its size stays, and no more belts than {now} are tried."
            )
    return found | ({"notes": (*problem.notes, *notes)} if notes else {})


def _belts(count: int) -> str:
    return f"{count} belt{'s' if count > 1 else ''}"


__all__ = ["with_clutch"]
