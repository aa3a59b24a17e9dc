"""What the work takes at another speed: a cure that changes its speed carries its power along, by its curve."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

import numpy as np
from jackshaft.buildfile import BuildProblems, NoSuchKey
from jackshaft.parts.outside_loads import ENGINE, way_to
from jackshaft.parts.works import CURVES, own_power, work_key
from jackshaft.results.chapter import Detail, Scope
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing
from jackshaft.results.proving import applied
from jackshaft.results.reader import Reader
from jackshaft.results.running import work_up

#: What yields the proposals for a check.
Cures = Callable[[Failing], Iterator[Proposal]]
POWER = "work.power"
#: Steps in which a power is written down.
POWERS = ("0.1 hp", "0.01 kW")
#: A power that falls or rises by less is told nobody and written nowhere: no load is known better.
LITTLE = 0.02
#: Keys by which a speed may change; a tension, a place and a part of the circuit change none.
MOVES = re.compile(r"engine\.|stage\[[^]]*\](\.pulley\[[^]]*\])?\.\w+$")


def carried(proposals: Mapping[str, Cures]) -> dict[str, Cures]:
    """Return the same proposals with the power that is taken at the new speeds, by what the build says of each load.

    That asks nothing else of the machine: a fan that is sped up takes more, by the cube of its speed, and what holds
    its torque in step with it. A proposal is left out where that is not known.
    """
    return {id: _carried(generate) for id, generate in proposals.items()}


def _carried(generate: Cures) -> Cures:
    def proposals(failing: Failing) -> Iterator[Proposal]:
        for proposal in generate(failing):
            if (told := with_power(failing, proposal)) is not None:
                yield told

    return proposals


def with_power(failing: Failing, proposal: Proposal) -> Proposal | None:
    """Return a proposal with the powers that the build states at the speeds that it gives; None where not known.

    It is left as it is where it says the power itself, and where it cannot be taken.
    """
    reader, now = failing.reader, failing.data("ratio")
    power, at = reader.si(POWER), reader.get("work.power_at")
    if POWER in proposal.changes or not any(MOVES.match(key) for key in proposal.changes):
        return proposal
    if power is None or now is None or now.shaft(at) is None:
        return proposal
    try:
        build = applied(failing.build, proposal.changes)
    except (BuildProblems, NoSuchKey):
        return proposal  # whoever tries it says so
    new = work_up(build, ("ratio",), scope=Scope(Detail.NO_TABLES)).chapters["ratio"].data
    times = {} if new is None else _times(reader, now, new)
    own = {s: k for s, k in times.items() if reader.si(own_power(s)) and not _little(k)}
    mine = [s for s in times if s == at or at in (ENGINE, *(k.start for k in way_to(now, s)))]
    factors = {round(times[s], 9) for s in mine}
    if not factors:
        return proposal
    whole = factors.pop() if len(factors) == 1 else _weighed(now, {s: times[s] for s in mine}, at)
    if whole is None:
        return None
    if _little(whole) and not own:
        return proposal
    changes = {POWER: failing.up(power * whole, "power", *POWERS)}
    changes |= {own_power(s): failing.up(reader.si(own_power(s)) * k, "power", *POWERS) for s, k in own.items()}
    taken = f"at its new speed the work takes {changes[POWER]}"
    taken += "".join(f", {s} {changes[own_power(s)]}" for s in own)
    return replace(proposal, words=orders(proposal.words, taken), changes={**proposal.changes, **changes})


def _little(times: float) -> bool:
    return abs(times - 1.0) <= LITTLE


def _times(reader: Reader, now, new) -> dict[str, float]:
    """Return by shaft that takes power how many times its power now it takes at its new speed.

    What does not say how its torque goes with its speed holds it.
    """
    found = {}
    ends = (s.name for s in now.shafts if s.name != ENGINE and not now.leaving(s.name))
    for shaft in dict.fromkeys((*now.carriers, *ends)):
        before, after = now.shaft(shaft), new.shaft(shaft)
        if before is not None and after is not None and before.work and after.work:
            curve = reader.get(work_key(reader, shaft, "load_curve")) if shaft in now.carriers else None
            found[shaft] = (after.work / before.work) ** (1.0 + CURVES.get(curve, 0.0))
    return found


def _weighed(now, times: Mapping[str, float], at: str) -> float | None:
    """Return how many times its power now a shaft takes, by what each shaft behind it takes; None where not known."""
    parts = {}
    for shaft in times:
        onward = [now.through(name) for name in now.leaving(shaft)]
        if None in (now.shaft(shaft).power, *(s and s.power for s in onward)):
            return None
        behind = way_to(now, shaft)[: len(way_to(now, shaft)) - len(way_to(now, at))]
        lost = float(np.prod([s.efficiency for s in behind]))
        parts[shaft] = (now.shaft(shaft).power - sum(s.power for s in onward)) / lost
    whole = sum(parts.values())
    return sum(parts[s] * k for s, k in times.items()) / whole if whole else None


__all__ = ["carried", "with_power"]
