"""Direct-current circuits by node voltages, and the clutch circuit as a chain of joints.

Everything is a resistance here: a clutch coil carries a steady current once it has pulled in, so the
voltage at each joint follows from Kirchhoff's current law alone. Voltages are in V, currents in A,
resistances in ohm; resistances, sources and draws may be arrays that broadcast together, and the
answers then carry that shape.
"""

from __future__ import annotations

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
    neighbours: dict[str, list[str]] = {}
    for a, b in edges:
        neighbours.setdefault(a, []).append(b)
        neighbours.setdefault(b, []).append(a)
    seen, todo = set(start), list(start)
    while todo:
        for other in neighbours.get(todo.pop(), ()):
            if other not in seen:
                seen.add(other)
                todo.append(other)
    return seen


def _in_a_loop(branches: Sequence[Branch], draws: Sequence[Draw], held: Iterable[str]) -> set[str]:
    """Names of the parts left when dead ends are cut back again and again; held joints count as joined."""
    fixed = set(held)
    left = {x.name: tuple("held" if n in fixed else n for n in (x.a, x.b)) for x in (*branches, *draws)}
    while True:
        ends: dict[str, int] = {}
        for pair in left.values():
            for n in pair:
                ends[n] = ends.get(n, 0) + 1
        kept = {k: p for k, p in left.items() if all(ends[n] > 1 or n == "held" for n in p)}
        if len(kept) == len(left):
            return set(left)
        left = kept


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
        source or draw that stands in no closed loop (a circuit without a return).

    Source
    ------
    Kirchhoff's laws in nodal form; standard method, from memory.
    """
    _check_parts(branches, draws)
    fixed = {reference: 0.0, **(held or {})}
    looped = _in_a_loop(branches, draws, fixed)
    for x in (*branches, *draws):
        live = np.any(np.asarray(x.emf if isinstance(x, Branch) else x.ampere) != 0.0)
        if live and x.name not in looped:
            raise CircuitError(
                f"{x.name!r} has no return: no current can flow. Give the wire or the chassis path back to"
                f" {reference!r}"
            )
    for n, v in fixed.items():
        touching = {x.name for x in (*branches, *draws) if n in (x.a, x.b)}
        if np.any(np.asarray(v) != 0.0) and touching and not touching & looped:
            raise CircuitError(f"{n!r} has no return: no current flows. Give the path back to {reference!r}")
    shape = np.broadcast_shapes(
        *(np.shape(v) for x in branches for v in (x.ohm, x.emf)),
        *(np.shape(x.ampere) for x in draws),
        *(np.shape(v) for v in fixed.values()),
    )
    joined = [(x.a, x.b) for x in branches if np.any(np.isfinite(np.asarray(x.ohm, float)))]
    nodes = list(dict.fromkeys(n for x in (*branches, *draws) for n in (x.a, x.b)))
    floating = [n for n in nodes if n not in _linked(fixed, joined)]
    if floating:
        raise CircuitError(
            f"joint {floating[0]!r} floats: nothing joins it to {reference!r}. Give the return wire or the"
            " chassis path, or close the contact"
        )
    unknown = [n for n in nodes if n not in fixed]
    row = {n: i for i, n in enumerate(unknown)}
    matrix = np.zeros((*shape, len(unknown), len(unknown)))
    inflow = np.zeros((*shape, len(unknown)))
    for x in branches:
        g = 1.0 / np.asarray(x.ohm, float)
        for here, there, sign in ((x.a, x.b, -1.0), (x.b, x.a, 1.0)):
            if here not in row:
                continue
            i = row[here]
            matrix[..., i, i] += g
            inflow[..., i] += sign * g * np.asarray(x.emf, float)
            if there in row:
                matrix[..., i, row[there]] -= g
            else:
                inflow[..., i] += g * np.asarray(fixed[there], float)
    for x in draws:
        for here, sign in ((x.a, -1.0), (x.b, 1.0)):
            if here in row:
                inflow[..., row[here]] += sign * np.asarray(x.ampere, float)
    try:
        found = np.linalg.solve(matrix, inflow[..., None])[..., 0] if unknown else inflow
    except np.linalg.LinAlgError:
        raise CircuitError("a joint floats in one of the cases: an open contact cuts it off") from None
    volts = {n: np.broadcast_to(np.asarray(v, float), shape) for n, v in fixed.items()}
    volts |= {n: found[..., i] for n, i in row.items()}
    return _powers(branches, draws, volts, fixed, shape)


def _powers(branches, draws, volts, fixed, shape) -> Solution:
    """Currents and powers that follow from the joint voltages."""
    amps, watts = {}, {}
    leaving = {n: np.zeros(shape) for n in fixed}
    source_watts = np.zeros(shape)
    source_amps = {}
    for x in branches:
        i = (volts[x.a] - volts[x.b] + np.asarray(x.emf, float)) / np.asarray(x.ohm, float)
        i = np.broadcast_to(i, shape)
        amps[x.name] = i
        # i**2 * inf of an open contact is not a number; its power is nothing
        watts[x.name] = np.where(i == 0.0, 0.0, i**2 * np.where(i == 0.0, 1.0, np.asarray(x.ohm, float)))
        source_watts = source_watts + np.asarray(x.emf, float) * i
        if np.any(np.asarray(x.emf) != 0.0):
            source_amps[x.name] = i
    for x in draws:
        i = np.broadcast_to(np.asarray(x.ampere, float), shape)
        amps[x.name] = i
        watts[x.name] = (volts[x.a] - volts[x.b]) * i
    for x in (*branches, *draws):
        for n, sign in ((x.a, 1.0), (x.b, -1.0)):
            if n in leaving:
                leaving[n] = leaving[n] + sign * amps[x.name]
    for n, i in leaving.items():
        if np.any(np.asarray(fixed[n]) != 0.0):
            source_amps[n] = i
            source_watts = source_watts + volts[n] * i
    plain = {k: _plain(v) for k, v in volts.items()}
    return Solution(
        plain,
        {k: _plain(v) for k, v in amps.items()},
        {k: _plain(v) for k, v in watts.items()},
        {k: _plain(v) for k, v in source_amps.items()},
        _plain(source_watts),
    )


def _plain(value):
    """A float where there is one value only, else the array."""
    value = np.asarray(value)
    return float(value) if value.ndim == 0 else value


def joints_si(chain: Chain) -> tuple[str, ...]:
    """Name the joints of a chain in the order of the current, battery + to battery -.

    Parameters
    ----------
    chain : Chain
        The clutch circuit.

    Returns
    -------
    tuple of str
        One more than there are parts with the coil; the joint behind a part is "after " and its name.

    Raises
    ------
    CircuitError
        The chain has no way back, or no part between battery and coil.

    Source
    ------
    Own naming.
    """
    if not chain.out:
        raise CircuitError("nothing stands between battery and coil: give at least the wire and its fuse")
    if not chain.back:
        raise CircuitError(
            "the circuit has no return: give the wire from the coil back to the battery, or the chassis path"
            " with its joints"
        )
    out = [f"after {p.name}" for p in chain.out[:-1]]
    back = [f"after {p.name}" for p in chain.back[:-1]]
    return (PLUS, *out, COIL_IN, COIL_OUT, *back, MINUS)


def network_si(chain: Chain) -> tuple[list[Branch], list[Draw], dict[str, Any]]:
    """Turn a chain into branches, draws and held joints for `solve_network_si`.

    Parameters
    ----------
    chain : Chain
        The clutch circuit.

    Returns
    -------
    tuple
        Branches, draws, and the battery post where it is held at a voltage that was read under load.

    Raises
    ------
    CircuitError
        No return, an unknown joint, or a load given neither or both as resistance and current.

    Source
    ------
    Own layout of the series circuit.
    """
    joints = joints_si(chain)
    line = (*chain.out, Part(COIL, COIL, chain.coil_ohm), *chain.back)
    branches = [Branch(p.name, a, b, p.ohm) for p, a, b in zip(line, joints[:-1], joints[1:], strict=True)]
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
        As for `solve_network_si` and `network_si`.

    Source
    ------
    Kirchhoff's laws; standard method, from memory.
    """
    branches, draws, held = network_si(chain)
    solved = solve_network_si(branches, draws=draws, held=held)
    joints = joints_si(chain)
    line = (*chain.out, Part(COIL, COIL, chain.coil_ohm), *chain.back)
    volts = np.array([solved.volts[j] for j in joints])
    source = sum(solved.source_amps.values())
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
        source_amps=source,
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
        In the order of the current. ``fuses`` holds the current through each fuse that stands before
        the fault; ``behind_fuse`` is False where none does, and nothing then protects the wire.

    Raises
    ------
    CircuitError
        As for `solve_network_si`.

    Source
    ------
    Kirchhoff's laws; standard method, from memory.
    """
    branches, draws, held = network_si(chain)
    joints = joints_si(chain)
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
