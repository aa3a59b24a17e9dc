"""What the work takes at another speed: a cure that changes its speed carries its power along, by its curve."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

import numpy as np
from jackshaft.buildfile import BuildProblems, NoSuchKey
from jackshaft.parts.works import load_power
from jackshaft.results.chapter import Detail, Scope
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing
from jackshaft.results.proving import applied
from jackshaft.results.running import work_up

#: What yields the proposals for a check.
Cures = Callable[[Failing], Iterator[Proposal]]
POWER = "work.power"


def carried(proposals: Mapping[str, Cures]) -> dict[str, Cures]:
    """Return the same proposals with the power that the work takes at its new speed, where its curve is stated.

    That asks nothing else of the machine: a fan that is sped up takes more, by the cube of its speed.
    """
    return {id: _carried(generate) for id, generate in proposals.items()}


def _carried(generate: Cures) -> Cures:
    def proposals(failing: Failing) -> Iterator[Proposal]:
        for proposal in generate(failing):
            yield with_power(failing, proposal)

    return proposals


def with_power(failing: Failing, proposal: Proposal) -> Proposal:
    """Return a proposal with the work's power at the speed that it gives it.

    It is left as it is where no curve is stated, where it says the power itself, and where it cannot be taken.
    """
    rises, power, now = load_power(failing.reader), failing.reader.si(POWER), failing.data("ratio")
    if rises is None or power is None or now is None or len(now.carriers) != 1 or POWER in proposal.changes:
        return proposal
    try:
        build = applied(failing.build, proposal.changes)
    except (BuildProblems, NoSuchKey):
        return proposal  # whoever tries it says so
    new = work_up(build, ("ratio",), scope=Scope(Detail.NO_TABLES)).chapters["ratio"].data
    before, after = (None if data is None else data.shaft(now.carriers[0]) for data in (now, new))
    if before is None or after is None or not before.work or not after.work or np.isclose(before.work, after.work):
        return proposal
    text = failing.up(power * (after.work / before.work) ** (1.0 + rises), "power", "0.1 hp", "0.01 kW")
    words = orders(proposal.words, f"at that speed the work takes {text}")
    return replace(proposal, words=words, changes={**proposal.changes, POWER: text})


__all__ = ["carried", "with_power"]
