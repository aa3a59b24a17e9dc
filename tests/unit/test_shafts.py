"""The shaft as a beam, against a finite-element solution written here, statics and textbook formulas."""

import math

import numpy as np
import pytest
from jackshaft.mechanics import shafts, whirl
from jackshaft.mechanics.shafts import Load, ShaftError, Step, Support

LBF, INCH = 4.4482216152605, 0.0254


def fe_solution(steps, supports, loads, modulus):
    """Hermite beam elements with clamped-out rows: an independent solution in one plane (y)."""
    nodes = sorted(
        {s.start for s in steps} | {s.end for s in steps} | {s.at for s in supports} | {load.at for load in loads}
    )
    stiff, force = np.zeros((2 * len(nodes),) * 2), np.zeros(2 * len(nodes))
    for i, (a, b) in enumerate(zip(nodes[:-1], nodes[1:], strict=True)):
        step = next(s for s in steps if s.start <= (a + b) / 2 <= s.end)
        ei, h = modulus * math.pi / 64 * (step.diameter**4 - step.bore**4), b - a
        element = np.array(
            [
                [12, 6 * h, -12, 6 * h],
                [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                [-12, -6 * h, 12, -6 * h],
                [6 * h, 2 * h * h, -6 * h, 4 * h * h],
            ]
        )
        stiff[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += ei / h**3 * element
    for load in loads:
        force[2 * nodes.index(load.at)] += load.y
        # A jump of the sagging moment by +c is a couple of -c on the beam in element signs.
        force[2 * nodes.index(load.at) + 1] -= load.couple_y
    held = [2 * nodes.index(s.at) for s in supports]
    free = [k for k in range(len(force)) if k not in held]
    moved = np.zeros(len(force))
    moved[free] = np.linalg.solve(stiff[np.ix_(free, free)], force[free])
    return nodes, moved[0::2], moved[1::2], (stiff @ moved - force)[held]


def random_shaft(rng):
    cuts = np.concatenate([[0.0], np.sort(rng.uniform(0.1, 0.9, rng.integers(0, 3))), [1.0]])
    length = rng.uniform(0.2, 1.5)
    steps = [
        Step(a * length, b * length, d, d * rng.choice([0.0, 0.6]))
        for a, b, d in zip(cuts[:-1], cuts[1:], rng.uniform(0.015, 0.06, len(cuts) - 1), strict=True)
    ]
    places = np.linspace(0.08, 0.92, rng.integers(2, 5)) + rng.uniform(-0.05, 0.05)
    supports = [Support(f"bearing {k}", p * length) for k, p in enumerate(places)]
    loads = [
        Load(
            f"load {k}",
            rng.uniform(0, length),
            y=rng.uniform(-2000, 2000),
            x=rng.uniform(-500, 500),
            couple_y=rng.uniform(-50, 50),
        )
        for k in range(rng.integers(1, 5))
    ]
    return steps, supports, loads


@pytest.mark.parametrize("seed", range(25))
def test_random_stepped_shafts_agree_with_finite_elements(seed):
    steps, supports, loads = random_shaft(np.random.default_rng(seed))
    beam = shafts.beam_si(steps, supports, loads, elastic_modulus=207e9)
    nodes, moved, turned, reactions = fe_solution(steps, supports, loads, 207e9)
    assert beam.reactions[:, 1] == pytest.approx(reactions, rel=1e-6, abs=1e-4)
    for node, y, slope in zip(nodes, moved, turned, strict=True):
        here = np.abs(beam.at - node) < 1e-9
        assert beam.deflection[here, 1] == pytest.approx(y, rel=1e-6, abs=1e-9 * np.abs(moved).max())
        assert beam.slope[here, 1] == pytest.approx(slope, rel=1e-6, abs=1e-9 * np.abs(turned).max())


@pytest.mark.parametrize("seed", range(10))
def test_forces_and_moments_are_in_equilibrium(seed):
    steps, supports, loads = random_shaft(np.random.default_rng(100 + seed))
    beam = shafts.beam_si(steps, supports, loads)
    at = np.array([load.at for load in loads])
    for plane, force in enumerate((np.array([f.x for f in loads]), np.array([f.y for f in loads]))):
        reaction, seat = beam.reactions[:, plane], np.array([s.at for s in supports])
        couples = sum(f.couple_y for f in loads) if plane else 0.0
        assert force.sum() + reaction.sum() == pytest.approx(0, abs=1e-6)
        assert (force * at).sum() + (reaction * seat).sum() - couples == pytest.approx(0, abs=1e-6)
    assert beam.moment[[0, -1]] == pytest.approx(np.zeros((2, 2)), abs=1e-6)


def test_loads_superpose():
    steps, supports, loads = random_shaft(np.random.default_rng(7))
    whole = shafts.beam_si(steps, supports, loads)
    parts = sum(shafts.beam_si(steps, supports, [load]).reactions for load in loads)
    assert whole.reactions == pytest.approx(parts, rel=1e-9)


def test_a_mirrored_shaft_has_mirrored_reactions():
    steps = [Step(0, 0.2, 0.03), Step(0.2, 0.5, 0.02)]
    supports = [Support("a", 0.05), Support("b", 0.42)]
    loads = [Load("pull", 0.0, y=-800), Load("rotor", 0.3, y=-200)]
    mirror = [Step(0.5 - s.end, 0.5 - s.start, s.diameter) for s in steps]
    there = shafts.beam_si(steps, supports, loads)
    back = shafts.beam_si(
        mirror, [s._replace(at=0.5 - s.at) for s in supports], [f._replace(at=0.5 - f.at) for f in loads]
    )
    assert back.reactions == pytest.approx(there.reactions, rel=1e-9)
    assert back.deflection[::-1] == pytest.approx(there.deflection, rel=1e-6, abs=1e-12)


def rotor():
    """The salvaged rotor: bearings 12 in apart, 240 lbf down 2.5 in outside A, 46 lbf in the middle."""
    steps = [Step(0, 14.5 * INCH, 1.3745 * INCH)]
    supports = [Support("A", 2.5 * INCH), Support("far", 14.5 * INCH)]
    return steps, supports, [Load("belt", 0, y=-240 * LBF), Load("rotor", 8.5 * INCH, y=-46 * LBF)]


def test_reactions_of_the_salvaged_rotor():
    # independent calculation of the salvaged rotor: near 313 lbf, far -27 lbf (it lifts)
    near, far = shafts.beam_si(*rotor()).reactions[:, 1] / LBF  # the bearing pushes up what it carries
    assert near == pytest.approx(313, abs=0.5)
    assert far == pytest.approx(-27, abs=0.5)
    closed = shafts.two_bearing_reactions_si(0, 12, [-2.5, 6], [240, 46])
    assert closed == pytest.approx((near, far), rel=1e-9)


def test_trap_a_pulley_outside_a_bearing_loads_it_with_more_than_its_own_pull():
    near, far = shafts.two_bearing_reactions_si(0, 12, [-2.5], [240])
    assert near > 240
    assert far < 0
    assert near == pytest.approx(240 * (1 + 2.5 / 12))


def test_two_bearing_reactions_over_a_batch():
    overhang = np.linspace(0, 5, 6)
    near, far = shafts.two_bearing_reactions_si(0.0, 12.0, np.column_stack([-overhang, 6 + 0 * overhang]), [240, 46])
    assert near == pytest.approx(240 * (1 + overhang / 12) + 23)
    assert near + far == pytest.approx(np.full(6, 286.0))


def test_two_bearing_reactions_do_not_depend_on_where_the_shaft_is_measured_from():
    there = shafts.two_bearing_reactions_si(0.0, 12.0, [-2.5, 6], [240, 46])
    assert shafts.two_bearing_reactions_si(5.0, 17.0, [2.5, 11], [240, 46]) == pytest.approx(there)
    with pytest.raises(ShaftError, match="same spot"):
        shafts.two_bearing_reactions_si(5.0, 5.0, [2.5], [240])


def test_overhang_moment_is_pull_times_arm_and_jumps_take_the_worse_side():
    beam = shafts.beam_si(*rotor())
    at_a = shafts.section_si(beam, 2.5 * INCH)
    assert at_a.moment == pytest.approx(240 * LBF * 2.5 * INCH, rel=1e-9)
    assert at_a.shear == pytest.approx(240 * LBF, rel=1e-9)


def test_midspan_deflection_by_the_textbook_formula():
    # shigley, table of beam deflections: F L^3 / 48 EI
    steps, supports = [Step(0, 0.8, 0.03)], [Support("a", 0), Support("b", 0.8)]
    beam = shafts.beam_si(steps, supports, [Load("f", 0.4, y=-1000)], elastic_modulus=200e9)
    inertia = math.pi / 64 * 0.03**4
    assert shafts.section_si(beam, 0.4).deflection == pytest.approx(1000 * 0.8**3 / (48 * 200e9 * inertia), rel=1e-9)


@pytest.mark.parametrize("samples", [3, 61])
def test_own_weight_of_a_uniform_shaft(samples):
    # 5 q L^4 / 384 EI, reactions half the weight each
    steps, supports = [Step(0, 1.0, 0.04)], [Support("a", 0), Support("b", 1.0)]
    beam = shafts.beam_si(steps, supports, [], density=7850, elastic_modulus=207e9, samples=samples)
    q = 7850 * shafts.GRAVITY * math.pi / 4 * 0.04**2
    assert beam.reactions[:, 1] == pytest.approx([q / 2, q / 2], rel=1e-9)
    inertia = math.pi / 64 * 0.04**4
    assert shafts.section_si(beam, 0.5).deflection == pytest.approx(5 * q / (384 * 207e9 * inertia), rel=1e-9)


def test_own_weight_between_unequal_stations():
    # q x (L^3 - 2 L x^2 + x^3) / 24 EI
    steps, supports = [Step(0, 1.0, 0.04)], [Support("a", 0), Support("b", 1.0)]
    beam = shafts.beam_si(steps, supports, [Load("here", 0.2)], density=7850, elastic_modulus=207e9, samples=2)
    q, inertia = 7850 * shafts.GRAVITY * math.pi / 4 * 0.04**2, math.pi / 64 * 0.04**4
    sag = q * 0.2 * (1 - 2 * 0.2**2 + 0.2**3) / (24 * 207e9 * inertia)
    assert shafts.section_si(beam, 0.2).deflection == pytest.approx(sag, rel=1e-9)


def test_torque_runs_from_where_it_comes_in_to_where_it_goes_out():
    steps, supports = [Step(0, 1.0, 0.03)], [Support("a", 0.1), Support("b", 0.9)]
    beam = shafts.beam_si(steps, supports, [Load("in", 0.0, torque=50), Load("out", 0.8, torque=-50)])
    assert shafts.section_si(beam, 0.4).torque == pytest.approx(50)
    assert shafts.section_si(beam, 0.95).torque == pytest.approx(0)
    assert beam.twist[-1] == pytest.approx(32 * 50 * 0.8 / (math.pi * shafts.STEEL_G * 0.03**4), rel=1e-9)
    assert beam.torque_left_over == pytest.approx(0)
    lone = shafts.beam_si(steps, supports, [Load("in", 0.0, torque=50)])
    assert lone.torque_left_over == pytest.approx(50)


def test_the_located_bearing_takes_the_axial_load():
    steps = [Step(0, 1.0, 0.03)]
    supports = [Support("floating", 0.1), Support("located", 0.9, located=True)]
    beam = shafts.beam_si(steps, supports, [Load("thrust", 0.5, axial=300)])
    assert beam.axial == pytest.approx([0, -300])


BAR = [Step(0, 1.0, 0.03)]
TWO = [Support("a", 0.1), Support("b", 0.9)]


@pytest.mark.parametrize(
    ("steps", "supports", "loads", "words"),
    [
        (BAR, [Support("a", 0.1), Support("b", 0.1)], [], "bearings a and b are on the same spot"),
        (BAR, TWO, [Load("pulley", 1.4, y=-10)], "load pulley at 1.4 m is off the shaft"),
        (BAR, [Support("a", 0.1), Support("b", 1.9)], [], "bearing b at 1.9 m is off the shaft"),
        ([Step(0, 0.5, 0.0), Step(0.5, 1.0, 0.03)], TWO, [], "has no section"),
        ([Step(0, 0.4, 0.03), Step(0.5, 1.0, 0.03)], TWO, [], "do not meet"),
        (BAR, TWO, [Load("thrust", 0.5, axial=100)], "no bearing holds the shaft endways"),
        (BAR, [s._replace(located=True) for s in TWO], [], "more than one bearing holds the shaft endways"),
        (BAR, TWO[:1], [], "needs two bearings"),
        ([], TWO, [], "no length"),
    ],
)
def test_bad_input_gives_reason_and_cure(steps, supports, loads, words):
    with pytest.raises(ShaftError) as caught:
        shafts.beam_si(steps, supports, loads)
    assert any(words in p.reason and p.cure for p in caught.value.problems)


def test_all_reasons_come_at_once():
    with pytest.raises(ShaftError) as caught:
        shafts.beam_si([Step(0, 1, 0)], [Support("a", 0), Support("b", 0)], [Load("p", 3, y=1)])
    assert len(caught.value.problems) == 3


def test_a_place_off_the_shaft_is_refused():
    with pytest.raises(ShaftError, match="not on the shaft"):
        shafts.section_si(shafts.beam_si(BAR, TWO, []), 1.2)


def test_uniform_shaft_whirls_at_the_exact_speed():
    # Euler beam, pi^2/L^2 sqrt(EI/m)
    steps, supports = [Step(0, 1, 0.03)], [Support("a", 0), Support("b", 1)]
    at, mass = whirl.lumps_si(steps, density=7850)
    speed = whirl.whirl_si(shafts.flexibility_si(steps, supports, at), mass)
    assert speed.lowest == pytest.approx(math.pi**2 * 0.03 / 4 * math.sqrt(207e9 / 7850), rel=1e-3)


@pytest.mark.parametrize("seed", range(12))
def test_dunkerley_is_below_and_rayleigh_above_the_eigenvalue(seed):
    rng = np.random.default_rng(seed)
    steps, supports, _ = random_shaft(rng)
    at, mass = whirl.lumps_si(steps, density=7850)
    at = np.concatenate([at, rng.uniform(0, steps[-1].end, 2)])
    mass = np.concatenate([mass, rng.uniform(0.5, 8, 2)])
    speed = whirl.whirl_si(shafts.flexibility_si(steps, supports, at), mass)
    assert speed.dunkerley <= speed.lowest * (1 + 1e-9)
    assert speed.lowest <= speed.rayleigh * (1 + 1e-9)


def test_rayleigh_stays_close_with_a_pulley_on_an_overhang():
    # Weights on both sides of a bearing push against each other unless each is turned with the mode.
    steps, supports = [Step(0, 1.0, 0.03)], [Support("a", 0.3), Support("b", 1.0)]
    flex = shafts.flexibility_si(steps, supports, [0.0, 0.65])
    speed = whirl.whirl_si(flex, [4.0, 10.0])
    assert speed.lowest <= speed.rayleigh < 1.02 * speed.lowest


def test_whirl_refuses_a_shaft_without_mass():
    with pytest.raises(ValueError, match="mass"):
        whirl.whirl_si(np.eye(2), [0, 0])
    with pytest.raises(ValueError, match="row"):
        whirl.whirl_si(np.eye(2), [1.0])
