"""Node voltages against independently built equations, and the clutch circuit's joints and shorts."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jackshaft.mechanics import circuit, wiring
from jackshaft.mechanics.circuit import Branch, Chain, CircuitError, Draw, Part, Tap
from jackshaft.units import awg_area

FT = 0.3048


def tableau(branches, draws, reference):
    """All Kirchhoff equations at once: unknown joint voltages and branch currents, solved densely.

    Built from incidence, without eliminating anything, so that it shares no step with the node method.
    """
    nodes = sorted({n for x in (*branches, *draws) for n in (x.a, x.b)} - {reference})
    n, b = len(nodes), len(branches)
    at = {name: i for i, name in enumerate(nodes)}
    m, rhs = np.zeros((n + b, n + b)), np.zeros(n + b)
    for k, x in enumerate(branches):
        if x.a in at:
            m[at[x.a], n + k] += 1.0
            m[n + k, at[x.a]] += 1.0
        if x.b in at:
            m[at[x.b], n + k] -= 1.0
            m[n + k, at[x.b]] -= 1.0
        m[n + k, n + k] = -x.ohm
        rhs[n + k] = -x.emf
    for x in draws:
        if x.a in at:
            rhs[at[x.a]] -= x.ampere
        if x.b in at:
            rhs[at[x.b]] += x.ampere
    solved = np.linalg.solve(m, rhs)
    return dict(zip(nodes, solved[:n], strict=True)), dict(zip((x.name for x in branches), solved[n:], strict=True))


def ladder(rng, rungs):
    branches = [Branch("source", "0", "n0", rng.uniform(0.01, 1.0), rng.uniform(6.0, 28.0))]
    draws = []
    for k in range(rungs):
        branches.append(Branch(f"rail {k}", f"n{k}", f"n{k + 1}", 10.0 ** rng.uniform(-3, 1)))
        branches.append(Branch(f"rung {k}", f"n{k + 1}", "0", 10.0 ** rng.uniform(-1, 3)))
        if rng.random() < 0.4:
            draws.append(Draw(f"draw {k}", f"n{k + 1}", "0", rng.uniform(0.0, 3.0)))
    return branches, draws


def bridge(rng):
    r = [10.0**x for x in rng.uniform(-2, 2, 6)]
    pairs = [("0", "a"), ("a", "b"), ("a", "c"), ("b", "c"), ("b", "0"), ("c", "0")]
    branches = [Branch(f"r{i}", p, q, r[i]) for i, (p, q) in enumerate(pairs)]
    branches[0] = branches[0]._replace(emf=float(rng.uniform(5.0, 30.0)))
    branches[3] = branches[3]._replace(emf=float(rng.uniform(-5.0, 5.0)))
    return branches, [Draw("d", "b", "c", float(rng.uniform(-1.0, 1.0)))]


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), rungs=st.integers(1, 12), cross=st.booleans())
def test_voltages_and_currents_meet_the_full_equations_on_ladders_and_bridges(seed, rungs, cross):
    rng = np.random.default_rng(seed)
    branches, draws = bridge(rng) if cross else ladder(rng, rungs)
    volts, amps = tableau(branches, draws, "0")
    found = circuit.solve_network_si(branches, draws=draws, reference="0")
    scale = max(map(abs, volts.values())) + 1.0
    for node, v in volts.items():
        assert found.volts[node] == pytest.approx(v, abs=1e-9 * scale)
    for name, i in amps.items():
        assert found.amps[name] == pytest.approx(i, rel=1e-6, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), rungs=st.integers(1, 8))
def test_power_given_equals_power_taken(seed, rungs):
    branches, draws = ladder(np.random.default_rng(seed), rungs)
    found = circuit.solve_network_si(branches, draws=draws, reference="0")
    assert found.source_watts == pytest.approx(sum(found.watts.values()), rel=1e-9)


def test_two_sources_superpose_and_a_transfer_is_reciprocal():
    rng = np.random.default_rng(7)
    branches, _ = bridge(rng)
    bare = [x._replace(emf=0.0) for x in branches]

    def with_emf(k, volts):
        return circuit.solve_network_si(
            [x._replace(emf=volts) if i == k else x for i, x in enumerate(bare)], reference="0"
        )

    one, two = with_emf(0, 12.0), with_emf(5, 12.0)
    both = circuit.solve_network_si(
        [x._replace(emf=12.0) if i in (0, 5) else x for i, x in enumerate(bare)], reference="0"
    )
    for x in branches:
        assert both.amps[x.name] == pytest.approx(one.amps[x.name] + two.amps[x.name], abs=1e-12)
    assert one.amps["r5"] == pytest.approx(two.amps["r0"], rel=1e-12)


def test_a_balanced_bridge_carries_nothing_across():
    arms = [
        Branch("s", "0", "t", 0.5, 12.0),
        Branch("1", "t", "l", 10.0),
        Branch("2", "l", "0", 30.0),
        Branch("3", "t", "r", 2.0),
        Branch("4", "r", "0", 6.0),
        Branch("meter", "l", "r", 5.0),
    ]
    assert circuit.solve_network_si(arms, reference="0").amps["meter"] == pytest.approx(0.0, abs=1e-14)


def test_arrays_give_what_the_single_cases_give():
    volts = np.linspace(10.0, 15.0, 6)
    many = circuit.steps_si(chain(volts))
    for k, v in enumerate(volts):
        one = circuit.steps_si(chain(v))
        assert many.volts[:, k] == pytest.approx(one.volts, rel=1e-12)
        assert many.coil_amps[k] == pytest.approx(one.coil_amps, rel=1e-12)


def test_a_held_post_is_the_limit_of_a_source_without_resistance():
    held, stiff = circuit.steps_si(chain(14.0)), circuit.steps_si(chain(14.0, source_ohm=1e-6))
    assert held.volts == pytest.approx(stiff.volts, abs=1e-5)
    assert held.source_amps == pytest.approx(stiff.source_amps, rel=1e-6)


@pytest.mark.parametrize("ohm", [0.0, -0.02, np.array([1.0, 0.0])])
def test_zero_or_negative_resistance_is_refused_with_the_cure(ohm):
    with pytest.raises(CircuitError, match="above zero.*meter leads"):
        circuit.steps_si(chain(12.0)._replace(coil_ohm=ohm))


def test_an_unknown_resistance_is_refused():
    with pytest.raises(CircuitError, match="not known"):
        circuit.steps_si(chain(12.0)._replace(coil_ohm=float("nan")))


def test_a_circuit_without_return_is_refused():
    with pytest.raises(CircuitError, match="no return"):
        circuit.steps_si(chain(12.0)._replace(back=()))
    open_end = [Branch("battery", "0", "+", 0.02, 12.0), Branch("wire", "+", "coil", 0.1)]
    with pytest.raises(CircuitError, match="'battery' has no return"):
        circuit.solve_network_si(open_end, reference="0")
    with pytest.raises(CircuitError, match="no return"):
        circuit.solve_network_si([Branch("wire", "+", "coil", 0.1)], reference="0", held={"+": 12.0})
    loop = [Branch("battery", "0", "+", 0.02, 12.0), Branch("coil", "+", "0", 3.0)]
    with pytest.raises(CircuitError, match="'lamp' has no return"):
        circuit.solve_network_si(loop, reference="0", draws=[Draw("lamp", "+", "stray", 4.0)])


def test_a_floating_joint_is_named():
    loop = [
        Branch("battery", "0", "+", 0.02, 12.0),
        Branch("coil", "+", "0", 3.0),
        Branch("a", "x", "y", 1.0, 5.0),
        Branch("b", "x", "y", 2.0),
    ]
    with pytest.raises(CircuitError, match="'x' floats"):
        circuit.solve_network_si(loop, reference="0")


def test_an_open_contact_is_infinite_resistance():
    off = chain(12.6)
    off = off._replace(out=(*off.out[:2], Part("switch", "switch", float("inf")), *off.out[2:]))
    found = circuit.steps_si(off)
    assert found.coil_amps == 0.0
    ahead, behind = found.joints.index("after joints"), found.joints.index("after switch")
    assert found.volts[ahead] == pytest.approx(12.6)
    assert found.volts[behind] == pytest.approx(0.0, abs=1e-12)
    assert sum(found.watts) == pytest.approx(0.0, abs=1e-15)
    twice = off._replace(out=(*off.out[:3], Part("relay", "relay contact", float("inf")), *off.out[3:]))
    with pytest.raises(CircuitError, match="floats"):
        circuit.steps_si(twice)
    some = off._replace(
        out=(
            *off.out[:2],
            Part("switch", "switch", np.array([0.01, np.inf])),
            Part("relay", "relay contact", np.array([0.01, np.inf])),
            *off.out[3:],
        )
    )
    with pytest.raises(CircuitError, match="one of the cases"):
        circuit.steps_si(some)


def test_names_and_ends_are_checked():
    with pytest.raises(CircuitError, match="two parts are called 'r'"):
        circuit.solve_network_si([Branch("r", "0", "a", 1.0), Branch("r", "a", "0", 1.0)], reference="0")
    with pytest.raises(CircuitError, match="both ends"):
        circuit.solve_network_si([Branch("r", "a", "a", 1.0)], reference="0")
    with pytest.raises(CircuitError, match="no joint.*coil \\+"):
        circuit.steps_si(chain(12.0)._replace(taps=(Tap("lamp", "dash", ohm=2.6),)))
    for tap in (Tap("lamp", "coil +"), Tap("lamp", "coil +", ohm=2.6, ampere=4.6)):
        with pytest.raises(CircuitError, match="one of the two"):
            circuit.steps_si(chain(12.0)._replace(taps=(tap,)))
    with pytest.raises(CircuitError, match="between battery and coil"):
        circuit.steps_si(chain(12.0)._replace(out=()))


def chain(volts, *, coil=2.9, source_ohm=0.0, one_way=9.0 * FT, area=None, joints=0.05, taps=()):
    run = wiring.wire_resistance.si(area or awg_area(16), length=one_way)
    return Chain(
        volts,
        source_ohm,
        (
            Part("wire out", "wire", run),
            Part("joints", "connector", joints - 0.001),
            Part("lead", "wire", 0.001),
        ),
        coil,
        (Part("wire back", "wire", run),),
        taps,
    )


def test_round_trip_length_and_joints_count():
    """Half the wire alone, as a one-way reckoning would have it, promises a third of the true drop."""
    found = circuit.steps_si(chain(14.0))
    one_way_drop = found.drops[0]
    total = 14.0 - found.coil_volts
    assert total == pytest.approx(2.0 * one_way_drop + found.drops[1] + found.drops[2])
    assert total > 3.0 * one_way_drop
    assert found.coil_amps == pytest.approx(14.0 / (2.9 + 2 * 0.0361335 + 0.05), rel=1e-4)


@pytest.mark.parametrize(("gauge", "volts"), [(18, 11.79), (16, 11.96), (14, 12.07)])
def test_joints_cost_as_much_as_the_wire(gauge, volts):
    """Independent calculation: 3 ohm on 12.6 V, 6 m of wire in all, fuse 11, relay 20, connectors 30 and
    switch 20 milliohm."""
    parts = [("fuse", 0.011), ("relay", 0.020), ("connectors", 0.030), ("switch", 0.020)]
    run = wiring.wire_resistance.si(awg_area(gauge), length=3.0)
    line = Chain(
        12.6,
        0.0,
        (*(Part(n, n, r) for n, r in parts), Part("wire out", "wire", run)),
        3.0,
        (Part("wire back", "wire", run),),
    )
    assert circuit.steps_si(line).coil_volts == pytest.approx(volts, abs=0.0051)


def test_joints_come_in_the_order_of_the_current_and_fall_steadily():
    found = circuit.steps_si(chain(14.0, source_ohm=0.025))
    assert found.joints == ("battery +", "after wire out", "after joints", "coil +", "coil -", "battery -")
    assert found.parts == ("wire out", "joints", "lead", "coil", "wire back")
    assert np.all(np.diff(found.volts) < 0.0)
    assert found.volts[-1] == 0.0
    assert found.drops.sum() == pytest.approx(found.volts[0])
    assert found.watts == pytest.approx(found.drops * found.amps)
    assert found.volts[0] == pytest.approx(14.0 - 0.025 * found.source_amps)


def test_a_load_on_the_same_wire_starves_the_coil_and_one_on_its_own_wire_does_not():
    alone = circuit.steps_si(chain(12.6))
    shared = circuit.steps_si(chain(12.6, taps=(Tap("lamps", "coil +", "coil -", ohm=1.3),)))
    apart = circuit.steps_si(chain(12.6, taps=(Tap("lamps", "battery +", ohm=1.3),)))
    assert shared.coil_volts < alone.coil_volts - 0.5
    assert apart.coil_volts == pytest.approx(alone.coil_volts, rel=1e-9)
    assert shared.amps[0] == pytest.approx(shared.coil_amps + shared.solution.amps["lamps"], rel=1e-9)
    fixed = circuit.steps_si(chain(12.6, taps=(Tap("lamps", "coil +", "coil -", ampere=8.0),)))
    assert fixed.amps[0] == pytest.approx(fixed.coil_amps + 8.0, rel=1e-12)


def test_a_short_draws_less_the_farther_out_and_knows_its_fuse():
    line = chain(14.0, source_ohm=0.025)
    line = line._replace(out=(Part("lead to fuse", "cable", 0.002), Part("fuse", "fuse", 0.0077), *line.out))
    faults = circuit.shorts_si(line, frame_ohm=0.01)
    assert [f.at for f in faults][:3] == ["battery +", "after lead to fuse", "after fuse"]
    assert [f.behind_fuse for f in faults][:3] == [False, False, True]
    to_frame = [f.amps for f in faults[:-1]]
    assert to_frame == sorted(to_frame, reverse=True)
    last = faults[-1]
    assert (last.at, last.to) == ("coil +", "across the coil")
    loop = 0.025 + 0.002 + 0.0077 + 2 * 0.0361335 + 0.05
    assert last.amps == pytest.approx(14.0 / (loop + 1e-3), rel=1e-3)
    assert last.fuses["fuse"] == pytest.approx(last.amps, rel=1e-9)
    assert last.part_amps["wire back"] == pytest.approx(last.amps, rel=1e-9)
    with pytest.raises(CircuitError, match="above zero"):
        circuit.shorts_si(line, frame_ohm=0.0)


def test_a_half_shorted_coil_draws_twice_and_stays_under_twice_its_fuse():
    whole, half = circuit.steps_si(chain(13.0)), circuit.steps_si(chain(13.0, coil=1.45))
    assert 1.8 < half.coil_amps / whole.coil_amps < 2.0


def test_twelve_and_twenty_four_volts_scale_alike():
    """Twice the voltage on a coil of four times the resistance: the same watts, half the current, a quarter
    of the share lost in the same wire."""
    low, high = circuit.steps_si(chain(12.0)), circuit.steps_si(chain(24.0, coil=4 * 2.9))
    assert high.coil_amps < 0.55 * low.coil_amps
    lost = [(v - s.coil_volts) / v for v, s in ((12.0, low), (24.0, high))]
    assert lost[1] == pytest.approx(lost[0] / 4.0, rel=0.04)
