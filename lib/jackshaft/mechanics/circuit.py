"""Direct-current circuits by node voltages, and the clutch circuit as a chain of joints.

Everything is a resistance here: a clutch coil carries a steady current once it has pulled in, so the
voltage at each joint follows from Kirchhoff's current law alone. Voltages are in V, currents in A,
resistances in ohm; resistances, sources and draws may be arrays that broadcast together, and the
answers then carry that shape.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

import numpy as np

from jackshaft.units import OutOfRange

PLUS, MINUS, COIL_IN, COIL_OUT = "battery +", "battery -", "coil +", "coil -"
COIL = "coil"


class CircuitError(OutOfRange):
    """The circuit cannot be solved as drawn: the message names the joint or part and the cure."""


class Branch(NamedTuple):
    """A resistance from joint ``a`` to joint ``b``, with a source in it that drives from ``a`` to ``b``."""

    name: str
    a: str
    b: str
    ohm: Any
    emf: Any = 0.0


class Draw(NamedTuple):
    """A load that takes a fixed current from joint ``a`` and returns it at joint ``b``."""

    name: str
    a: str
    b: str
    ampere: Any


class Solution(NamedTuple):
    """Voltage at every joint, current and power in every branch and draw (current from a to b)."""

    volts: dict[str, Any]
    amps: dict[str, Any]
    watts: dict[str, Any]
    source_amps: dict[str, Any]
    source_watts: Any


class Part(NamedTuple):
    """One part in the clutch's own line: name, kind (cable, fuse, switch, wire, ...) and resistance."""

    name: str
    kind: str
    ohm: Any


class Tap(NamedTuple):
    """Another load on the clutch's line, between two of its joints: a resistance or a fixed current."""

    name: str
    at: str
    back: str = MINUS
    ohm: Any = None
    ampere: Any = None


class Chain(NamedTuple):
    """The clutch circuit: source, parts out to the coil, coil, parts back to the source, other loads.

    ``source_ohm`` of 0 means that ``emf`` was read at the battery's posts under load.
    """

    emf: Any
    source_ohm: Any
    out: tuple[Part, ...]
    coil_ohm: Any
    back: tuple[Part, ...]
    taps: tuple[Tap, ...] = ()


class Steps(NamedTuple):
    """The chain solved: joints with their voltages, and parts with drop, current and heat."""

    joints: tuple[str, ...]
    volts: np.ndarray
    parts: tuple[str, ...]
    kinds: tuple[str, ...]
    drops: np.ndarray
    amps: np.ndarray
    watts: np.ndarray
    coil_volts: Any
    coil_amps: Any
    source_amps: Any
    solution: Solution


class Fault(NamedTuple):
    """A short at one joint: where, to what, and the current in the source, the fuses and each part."""

    at: str
    to: str
    amps: Any
    fuses: dict[str, Any]
    part_amps: dict[str, Any]
    behind_fuse: bool


def _check_parts(branches: Sequence[Branch], draws: Sequence[Draw]) -> None:
    names = [x.name for x in (*branches, *draws)]
    twice = {n for n in names if names.count(n) > 1}
    if twice:
        raise CircuitError(f"two parts are called {sorted(twice)[0]!r}: give each its own name")
    for x in (*branches, *draws):
        if x.a == x.b:
            raise CircuitError(f"both ends of {x.name!r} are at joint {x.a!r}: nothing flows in it")
    for x in branches:
        ohm = np.asarray(x.ohm, float)
        if np.any(np.isnan(ohm)):
            raise CircuitError(f"the resistance of {x.name!r} is not known: measure it, or leave it out")
        if np.any(ohm <= 0.0):
            raise CircuitError(
                f"{x.name!r} has {float(ohm.min()):g} ohm: it must be above zero. Subtract the meter leads once only; "
                "for a part with no drop worth counting leave it out (a sound joint is 0.002 to 0.005 ohm)"
            )


def _linked(start: Iterable[str], edges: Iterable[tuple[str, str]]) -> set[str]:
    """Joints that can be reached from ``start`` along ``edges``."""
    seen, edges = set(start), list(edges)
    while more := {n for ends in edges if seen.intersection(ends) for n in ends} - seen:
        seen |= more
    return seen


def _in_a_loop(parts: Sequence[Branch | Draw], held: Iterable[str]) -> set[str]:
    """Names of the parts left when dead ends are cut back again and again; held joints count as joined."""
    fixed = set(held)
    left = {x.name: tuple("held" if n in fixed else n for n in (x.a, x.b)) for x in parts}
    while True:
        ends = Counter(n for pair in left.values() for n in pair)
        kept = {k: p for k, p in left.items() if all(ends[n] > 1 or n == "held" for n in p)}
        if len(kept) == len(left):
            return set(left)
        left = kept


def _check_returns(branches, draws, fixed: Mapping[str, Any], reference: str) -> None:
    """Refuse a source, a draw or a held joint that is in no closed loop."""
    parts = (*branches, *draws)
    looped = _in_a_loop(parts, fixed)
    for x in parts:
        live = np.any(np.asarray(x.emf if isinstance(x, Branch) else x.ampere) != 0.0)
        if live and x.name not in looped:
            raise CircuitError(
                f"{x.name!r} has no return: no current can flow. Give the wire or the chassis path back to"
                f" {reference!r}"
            )
    for n, v in fixed.items():
        touching = {x.name for x in parts if n in (x.a, x.b)}
        if np.any(np.asarray(v) != 0.0) and touching and not touching & looped:
            raise CircuitError(f"{n!r} has no return: no current flows. Give the path back to {reference!r}")


def _check_floating(branches, nodes: Iterable[str], fixed: Iterable[str], reference: str) -> None:
    joined = [(x.a, x.b) for x in branches if np.any(np.isfinite(np.asarray(x.ohm, float)))]
    reached = _linked(fixed, joined)
    floating = next((n for n in nodes if n not in reached), None)
    if floating is not None:
        raise CircuitError(
            f"joint {floating!r} floats: nothing joins it to {reference!r}. Give the return wire or the"
            " chassis path, or close the contact"
        )


def solve_network_si(
    branches: Sequence[Branch],
    *,
    draws: Sequence[Draw] = (),
    reference: str = MINUS,
    held: Mapping[str, Any] | None = None,
) -> Solution:
    """Solve a resistive direct-current network for its joint voltages.

    Parameters
    ----------
    branches : sequence of Branch
        Resistances (ohm, above zero; ``inf`` is an open contact), each with an optional source (V). Below
        a microhm the digits of its own current go: leave such a part out.
    draws : sequence of Draw
        Loads that take a fixed current (A).
    reference : str
        Joint whose voltage is called zero.
    held : mapping of str to float or array, optional
        Joints kept at a known voltage (V), such as a battery post read under load.

    Returns
    -------
    Solution
        Joint voltages (V), currents (A, positive from a to b), power taken in each part (W), the current
        and the total power (W) that sources and held joints give.

    Raises
    ------
    CircuitError
        A resistance of zero or below, two parts of one name, a joint with no path to the reference, or a
        source or draw that is in no closed loop (a circuit without a return).

    Source
    ------
    Kirchhoff's laws in nodal form; standard method, from memory.
    """
    fixed = {reference: 0.0, **(held or {})}
    _check_parts(branches, draws)
    _check_returns(branches, draws, fixed, reference)
    nodes = list(dict.fromkeys(n for x in (*branches, *draws) for n in (x.a, x.b)))
    _check_floating(branches, nodes, fixed, reference)
    given = [*(v for x in branches for v in (x.ohm, x.emf)), *(x.ampere for x in draws), *fixed.values()]
    shape = np.broadcast_shapes(*(np.shape(v) for v in given))

    def stack(values):
        return np.stack([np.broadcast_to(np.asarray(v, float), shape) for v in values], axis=-1)

    def ends(parts):
        """One row a part: +1 at the joint where its current leaves, -1 where it arrives."""
        return np.array([[float(n == x.a) - float(n == x.b) for n in nodes] for x in parts]).reshape(-1, len(nodes))

    known = np.array([n in fixed for n in nodes])
    g, out = 1.0 / stack(x.ohm for x in branches), ends(branches)
    matrix = out.T @ (g[..., None] * out)
    inflow = -(g * stack(x.emf for x in branches)) @ out
    if draws:
        inflow = inflow - stack(x.ampere for x in draws) @ ends(draws)
    volts = {n: np.broadcast_to(np.asarray(v, float), shape) for n, v in fixed.items()}
    held_volts = stack(fixed[n] for n in nodes if n in fixed)
    inflow = inflow[..., ~known] - (matrix[..., ~known, :][..., known] @ held_volts[..., None])[..., 0]
    try:
        found = np.linalg.solve(matrix[..., ~known, :][..., ~known], inflow[..., None])[..., 0]
    except np.linalg.LinAlgError:
        raise CircuitError("a joint floats in one of the cases: an open contact cuts it off") from None
    volts |= {n: found[..., i] for i, n in enumerate(n for n in nodes if n not in fixed)}
    return _powers(branches, draws, volts, fixed)


def _powers(branches, draws, volts, fixed) -> Solution:
    """Currents and powers that follow from the joint voltages."""
    shape = np.shape(next(iter(volts.values())))
    amps, watts, source_amps, source_watts = {}, {}, {}, np.zeros(shape)
    for x in branches:
        emf, ohm = np.asarray(x.emf, float), np.asarray(x.ohm, float)
        i = amps[x.name] = np.broadcast_to((volts[x.a] - volts[x.b] + emf) / ohm, shape)
        # i**2 * inf of an open contact is not a number; its power is nothing
        watts[x.name] = np.where(i == 0.0, 0.0, i**2 * np.where(i == 0.0, 1.0, ohm))
        source_watts = source_watts + emf * i
        if np.any(emf != 0.0):
            source_amps[x.name] = i
    for x in draws:
        i = amps[x.name] = np.broadcast_to(np.asarray(x.ampere, float), shape)
        watts[x.name] = (volts[x.a] - volts[x.b]) * i
    for n in (n for n, v in fixed.items() if np.any(np.asarray(v) != 0.0)):
        ends = [sign * amps[x.name] for x in (*branches, *draws) for end, sign in ((x.a, 1.0), (x.b, -1.0)) if end == n]
        source_amps[n] = sum(ends, np.zeros(shape))
        source_watts = source_watts + volts[n] * source_amps[n]
    plain = ({k: v[()] for k, v in d.items()} for d in (volts, amps, watts, source_amps))
    return Solution(*plain, source_watts[()])


def _joints(chain: Chain) -> tuple[str, ...]:
    """Joints in the order of the current, battery + to battery -; the joint behind a part is "after " and its name."""
    if not chain.out:
        raise CircuitError("nothing is between battery and coil: give at least the wire and its fuse")
    if not chain.back:
        raise CircuitError(
            "the circuit has no return: give the wire from the coil back to the battery, or the chassis path"
            " with its joints"
        )
    out = [f"after {p.name}" for p in chain.out[:-1]]
    back = [f"after {p.name}" for p in chain.back[:-1]]
    return (PLUS, *out, COIL_IN, COIL_OUT, *back, MINUS)


def _line(chain: Chain) -> tuple[Part, ...]:
    """The parts in the order of the current, the coil among them."""
    return *chain.out, Part(COIL, COIL, chain.coil_ohm), *chain.back


def _network(chain: Chain) -> tuple[list[Branch], list[Draw], dict[str, Any]]:
    """Branches, draws, and the battery post where it is held at a voltage that was read under load."""
    joints = _joints(chain)
    ends = zip(_line(chain), joints[:-1], joints[1:], strict=True)
    branches = [Branch(p.name, a, b, p.ohm) for p, a, b in ends]
    draws: list[Draw] = []
    held: dict[str, Any] = {}
    if np.all(np.asarray(chain.source_ohm) == 0.0):
        held[PLUS] = chain.emf
    else:
        branches.insert(0, Branch("battery", MINUS, PLUS, chain.source_ohm, chain.emf))
    for tap in chain.taps:
        for joint in (tap.at, tap.back):
            if joint not in joints:
                there = ", ".join(joints)
                raise CircuitError(f"{tap.name!r} hangs on {joint!r}, which is no joint; there are {there}")
        if (tap.ohm is None) == (tap.ampere is None):
            raise CircuitError(f"{tap.name!r} needs its resistance or its current, one of the two")
        if tap.ohm is not None:
            branches.append(Branch(tap.name, tap.at, tap.back, tap.ohm))
        else:
            draws.append(Draw(tap.name, tap.at, tap.back, tap.ampere))
    return branches, draws, held


def steps_si(chain: Chain) -> Steps:
    """Voltage at every joint of the clutch circuit, and what each part drops, carries and heats.

    Parameters
    ----------
    chain : Chain
        The clutch circuit; V, ohm, A. Arrays broadcast and come back on the last axes.

    Returns
    -------
    Steps
        Joints with volts against battery -, parts (coil included) with drop (V), current (A), heat (W).

    Raises
    ------
    CircuitError
        As for `solve_network_si`; no return, an unknown joint, or a load given neither or both as resistance and
        current.

    Source
    ------
    Kirchhoff's laws; standard method, from memory.
    """
    branches, draws, held = _network(chain)
    solved = solve_network_si(branches, draws=draws, held=held)
    joints, line = _joints(chain), _line(chain)
    volts = np.array([solved.volts[j] for j in joints])
    return Steps(
        joints=joints,
        volts=volts,
        parts=tuple(p.name for p in line),
        kinds=tuple(p.kind for p in line),
        drops=volts[:-1] - volts[1:],
        amps=np.array([solved.amps[p.name] for p in line]),
        watts=np.array([solved.watts[p.name] for p in line]),
        coil_volts=solved.volts[COIL_IN] - solved.volts[COIL_OUT],
        coil_amps=solved.amps[COIL],
        source_amps=sum(solved.source_amps.values()),
        solution=solved,
    )


def shorts_si(chain: Chain, *, frame_ohm: Any, short_ohm: Any = 1e-3) -> tuple[Fault, ...]:
    """Short the line at each joint on the way out, to the frame, and last across the coil.

    Parameters
    ----------
    chain : Chain
        The clutch circuit; V, ohm, A.
    frame_ohm : float or array
        Path from the chafed spot through the frame to battery - (ohm, above zero).
    short_ohm : float or array
        The short across the coil itself (ohm, above zero).

    Returns
    -------
    tuple of Fault
        In the order of the current. ``fuses`` holds the current through each fuse that is before
        the fault; ``behind_fuse`` is False where none does, and nothing then protects the wire.

    Raises
    ------
    CircuitError
        As for `solve_network_si`.

    Source
    ------
    Kirchhoff's laws; standard method, from memory.
    """
    branches, draws, held = _network(chain)
    joints = _joints(chain)
    out_joints = joints[: joints.index(COIL_IN) + 1]
    places = [(j, MINUS, "frame", frame_ohm) for j in out_joints]
    places.append((COIL_IN, COIL_OUT, "across the coil", short_ohm))
    faults = []
    for at, to, words, ohm in places:
        solved = solve_network_si([*branches, Branch("short", at, to, ohm)], draws=draws, held=held)
        before = chain.out[: out_joints.index(at)]
        fuses = {p.name: solved.amps[p.name] for p in before if p.kind == "fuse"}
        amps = {p.name: solved.amps[p.name] for p in (*chain.out, *chain.back)}
        source = sum(solved.source_amps.values())
        faults.append(Fault(at=at, to=words, amps=source, fuses=fuses, part_amps=amps, behind_fuse=bool(fuses)))
    return tuple(faults)
