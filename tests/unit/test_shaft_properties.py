"""What every shaft must obey, over random ones: superposition, mirror, scale, reciprocity, weight, energy, torsion."""

from __future__ import annotations

import math

import numpy as np
import pytest
from jackshaft.mechanics import shaft_strength, shafts, whirl
from jackshaft.mechanics.shafts import Load, Step, Support
from test_shafts import fe_solution, random_shaft

SEEDS = range(200, 216)
LINES = ("shear", "moment", "slope", "deflection")


def solved(seed, **more):
    steps, supports, loads = random_shaft(np.random.default_rng(seed))
    return steps, supports, loads, shafts.beam_si(steps, supports, loads, **more)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_line_superposes(seed):
    """Two loads together are one and the other, at every place and in both planes."""
    steps, supports, loads, whole = solved(seed)
    # the same places in every beam: all loads stand, all but one with nothing
    parts = [shafts.beam_si(steps, supports, [f if f is mine else Load(f.name, f.at) for f in loads]) for mine in loads]
    assert whole.reactions == pytest.approx(sum(p.reactions for p in parts), rel=1e-7, abs=1e-7)
    for line in LINES:
        total = sum(getattr(p, line) for p in parts)
        assert getattr(whole, line) == pytest.approx(
            total, rel=1e-6, abs=1e-9 * np.abs(getattr(whole, line)).max() + 1e-15
        )


@pytest.mark.parametrize("seed", SEEDS)
def test_a_mirrored_shaft_is_the_mirror_of_the_shaft(seed):
    steps, supports, loads, there = solved(seed, density=7850)
    end = steps[-1].end
    turned = [Step(end - s.end, end - s.start, s.diameter, s.bore) for s in steps]
    back = shafts.beam_si(
        turned,
        [s._replace(at=end - s.at) for s in supports],
        [f._replace(at=end - f.at, couple_x=-f.couple_x, couple_y=-f.couple_y) for f in loads],
        density=7850,
    )
    assert back.reactions == pytest.approx(there.reactions, rel=1e-6, abs=1e-5)
    for place in np.linspace(0, end, 9):
        a, b = shafts.section_si(there, place), shafts.section_si(back, end - place)
        assert (b.moment, b.deflection, b.slope) == pytest.approx((a.moment, a.deflection, a.slope), rel=1e-5, abs=1e-8)


@pytest.mark.parametrize("seed", SEEDS)
def test_loads_turned_a_quarter_turn_everything_with_them(seed):
    steps, supports, loads, one = solved(seed)
    flat = [f._replace(couple_y=0.0) for f in loads]
    one = shafts.beam_si(steps, supports, flat)
    other = shafts.beam_si(steps, supports, [f._replace(x=-f.y, y=f.x) for f in flat])
    for line in ("reactions", *LINES):
        a, b = getattr(one, line), getattr(other, line)
        assert b == pytest.approx(np.stack([-a[:, 1], a[:, 0]], axis=1), rel=1e-9, abs=1e-12 * np.abs(a).max())


@pytest.mark.parametrize("seed", SEEDS)
def test_stiffness_and_size_scale_as_they_must(seed):
    steps, supports, loads, one = solved(seed)
    soft = shafts.beam_si(steps, supports, loads, elastic_modulus=shafts.STEEL_E / 3)
    assert soft.reactions == pytest.approx(one.reactions, rel=1e-6, abs=1e-6)
    assert soft.deflection == pytest.approx(3 * one.deflection, rel=1e-6, abs=1e-15)
    thick = shafts.beam_si([s._replace(diameter=2 * s.diameter, bore=2 * s.bore) for s in steps], supports, loads)
    assert thick.deflection == pytest.approx(one.deflection / 16, rel=1e-6, abs=1e-15)


@pytest.mark.parametrize("seed", SEEDS)
def test_own_weight_against_finite_elements(seed):
    """The spread weight against a fine row of lumps in the independent elements: the finer, the nearer."""
    steps, supports, loads, beam = solved(seed, density=7850)
    off = []
    for pieces in (40, 80):
        at, mass = whirl.lumps_si(steps, density=7850, pieces=pieces)
        lumps = [
            Load(f"lump {k}", float(a), y=-shafts.GRAVITY * m) for k, (a, m) in enumerate(zip(at, mass, strict=True))
        ]
        _, _, _, reactions = fe_solution(steps, supports, [*loads, *lumps], shafts.STEEL_E)
        off.append(np.abs(beam.reactions[:, 1] - reactions).max())
    weight = shafts.GRAVITY * mass.sum()
    assert off[1] < 2e-3 * weight
    assert len(supports) == 2 or off[1] < 0.6 * off[0] or off[1] < 1e-6 * weight


@pytest.mark.parametrize("seed", SEEDS)
def test_reciprocal_movements_are_the_finite_elements_ones(seed):
    """The flexibility matrix, whose two halves are meant to agree, against one unit load after another in elements."""
    steps, supports, _ = random_shaft(np.random.default_rng(seed))
    at = np.sort(np.random.default_rng(seed + 1).uniform(0, steps[-1].end, 3))
    matrix = shafts.flexibility_si(steps, supports, at)
    for k, place in enumerate(at):
        # the other places stand as loads of nothing, so that they are nodes
        loads = [Load(f"p{j}", float(a), y=float(j == k)) for j, a in enumerate(at)]
        nodes, moved, _, _ = fe_solution(steps, supports, loads, shafts.STEEL_E)
        there = [moved[nodes.index(float(a))] for a in at]
        assert matrix[:, k] == pytest.approx(there, rel=1e-5, abs=1e-9 * np.abs(matrix).max()), place
    assert np.linalg.eigvalsh(matrix).min() > -1e-9 * np.abs(matrix).max()


@pytest.mark.parametrize("seed", SEEDS)
def test_work_of_the_loads_is_the_energy_in_the_shaft(seed):
    """Clapeyron: half of force times movement is the integral of M squared over 2 EI, by Simpson on each segment."""
    steps, supports, loads = random_shaft(np.random.default_rng(seed))
    loads = [f._replace(couple_y=0.0) for f in loads]
    beam = shafts.beam_si(steps, supports, loads)
    work = sum(
        0.5 * (f.x * x + f.y * y) for f in loads for x, y in [beam.deflection[np.argmin(np.abs(beam.at - f.at))]]
    )
    ei = shafts.STEEL_E * math.pi / 64 * (beam.diameter**4 - beam.bore**4)
    start, end, h = beam.moment[0::2], beam.moment[1::2], np.diff(beam.at)[0::2]
    energy = np.sum(h[:, None] / (6 * ei[0::2, None]) * (start**2 + start * end + end**2))
    assert work == pytest.approx(energy, rel=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_torsion_against_a_row_of_springs(seed):
    """Twist by a stiffness matrix of torsion springs, one a segment, the first end held."""
    rng = np.random.default_rng(seed)
    steps, supports, _ = random_shaft(rng)
    places = np.sort(rng.uniform(0, steps[-1].end, 3))
    torques = np.append(rng.uniform(-80, 80, 2), 0.0)
    torques[2] = -torques.sum()
    beam = shafts.beam_si(
        steps,
        supports,
        [Load(f"t{k}", float(a), torque=float(t)) for k, (a, t) in enumerate(zip(places, torques, strict=True))],
    )
    nodes = sorted({0.0, *places, *(s.end for s in steps)})
    stiff, load = np.zeros((len(nodes),) * 2), np.zeros(len(nodes))
    for i, (a, b) in enumerate(zip(nodes[:-1], nodes[1:], strict=True)):
        s = next(s for s in steps if s.start <= (a + b) / 2 <= s.end)
        k = shafts.STEEL_G * math.pi / 32 * (s.diameter**4 - s.bore**4) / (b - a)
        stiff[i : i + 2, i : i + 2] += k * np.array([[1, -1], [-1, 1]])
    for place, torque in zip(places, torques, strict=True):
        load[nodes.index(place)] += torque
    twist = np.append(0.0, np.linalg.solve(stiff[1:, 1:], load[1:]))
    for node, angle in zip(nodes, twist, strict=True):
        # the beam counts torque put in before a place as carried behind it: the other sign of twist
        here = beam.twist[np.argmin(np.abs(beam.at - node))]
        assert -here == pytest.approx(angle, rel=1e-6, abs=1e-12)


def test_the_finite_elements_can_fail():
    """A shaft spoiled by one part in a thousand is told from the sound one."""
    steps, supports, loads, beam = solved(201)
    spoiled = [steps[0]._replace(diameter=1.001 * steps[0].diameter), *steps[1:]]
    nodes, moved, _, _ = fe_solution(spoiled, supports, loads, shafts.STEEL_E)
    there = np.array([beam.deflection[np.argmin(np.abs(beam.at - n)), 1] for n in nodes])
    assert np.abs(there - moved).max() > 1e-6 * np.abs(moved).max()


@pytest.mark.parametrize("method", shaft_strength.METHODS)
def test_strength_falls_with_load_and_grows_with_size(method):
    rng = np.random.default_rng(3)
    for _ in range(20):
        m, t, d = rng.uniform(5, 200), rng.uniform(5, 200), rng.uniform(0.015, 0.06)
        args = {"endurance": 150e6, "tensile": 440e6, "yield_stress": 370e6, "raiser": (2.0, 1.6), "method": method}
        one = shaft_strength.strength.si(shaft_strength.duty.si(m, t), d, **args)
        twice = shaft_strength.strength.si(shaft_strength.duty.si(2 * m, 2 * t), d, **args)
        thick = shaft_strength.strength.si(shaft_strength.duty.si(m, t), 2 * d, **args)
        assert twice.fatigue == pytest.approx(one.fatigue / 2) and thick.fatigue == pytest.approx(8 * one.fatigue)
        for more in (shaft_strength.duty.si(1.1 * m, t), shaft_strength.duty.si(m, 1.1 * t)):
            assert shaft_strength.strength.si(more, d, **args).fatigue < one.fatigue


def test_a_bearing_s_place_does_not_matter_to_the_sum():
    """Wherever the two bearings stand, together they carry all that pulls; the nearer one the more."""
    loads, steps = [Load("pull", 0.3, y=-1000.0)], [Step(0, 1.0, 0.03)]
    for near, far in ((0.0, 1.0), (0.1, 0.6), (0.31, 0.9)):
        reaction = shafts.beam_si(steps, [Support("a", near), Support("b", far)], loads).reactions[:, 1]
        assert reaction.sum() == pytest.approx(1000, rel=1e-9)
        assert reaction[0] > reaction[1]
