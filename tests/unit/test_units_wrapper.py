"""The door: quantities outside, SI floats inside, bare numbers refused."""

import inspect
from typing import NamedTuple

import numpy as np
import pint
import pytest
from jackshaft.units import (
    Measure,
    UnitsRequired,
    UnitTextError,
    measure,
    quantity,
    read,
    registry,
    to_si,
    unit_checked,
)

ureg = registry()
Q = ureg.Quantity


class Pull(NamedTuple):
    tight: float
    slack: float
    name: str = "stage"


def _torque(power, *, speed, factor=1.0, extra=None):
    """Torque from power and speed."""
    return power * factor / speed + (extra or 0.0)


torque = unit_checked(power="power", speed="rotation", factor="number", extra="torque", returns="torque")(_torque)


@unit_checked(force="force", returns={"tight": "force", "slack": "force"})
def pull(force) -> Pull:
    return Pull(force * 2, force)


def test_quantities_measures_and_texts_give_the_same():
    wanted = 14 * 745.69987158227022 / (3600 * 2 * np.pi / 60)
    for power in ("14 hp", read("14 hp", "power"), Q(14, "horsepower"), measure(14 * 745.69987158227022, "power")):
        for speed in ("3600 rpm", Q(3600, "rpm"), Q(60, "turn/second")):
            got = torque(power, speed=speed)
            assert isinstance(got, ureg.Quantity)
            assert got.units == ureg.newton * ureg.meter
            assert got.magnitude == pytest.approx(wanted)


def test_arrays_keep_their_shape():
    got = torque(Q(np.arange(1, 7).reshape(2, 3), "kW"), speed="1000 r/min")
    assert got.shape == (2, 3)
    assert got.magnitude[1, 2] == pytest.approx(6000 / (1000 * 2 * np.pi / 60))
    several = torque(["1 kW", read("2 kW", "power"), Q(3, "kW")], speed="1000 r/min")
    assert several.magnitude == pytest.approx(got.magnitude[0])
    assert torque([], speed="1000 rpm").shape == (0,)


def test_the_body_is_reachable_and_undecorated():
    assert torque.si is _torque
    assert torque.si(100.0, speed=10.0) == 10.0
    assert torque.kinds == {"power": "power", "speed": "rotation", "factor": "number", "extra": "torque"}
    assert torque.returns == "torque"
    assert torque.__name__ == "_torque" and torque.__doc__ == _torque.__doc__
    assert inspect.signature(torque) == inspect.signature(_torque)


@pytest.mark.parametrize("bare", [14, 14.0, np.float64(14), np.array([1.0, 2.0]), [1, 2], None, True, object()])
def test_a_bare_number_is_refused_with_what_to_type(bare):
    with pytest.raises(UnitsRequired) as fault:
        torque(bare, speed="3600 rpm")
    assert isinstance(fault.value, TypeError)
    assert (fault.value.function, fault.value.argument, fault.value.kind) == ("_torque", "power", "power")
    for word in ("_torque", "power", "14 hp", "_torque.si"):
        assert word in str(fault.value)


def test_a_number_may_be_bare_and_stays_what_it_is():
    @unit_checked(n="number", returns="number")
    def twice(n):
        return n * 2

    assert twice(3) == 6 and isinstance(twice(3), int)
    assert twice("55 %") == pytest.approx(1.1)
    assert twice(Q(0.5, "")) == 1.0
    assert twice(np.array([1, 2])).tolist() == [2, 4]
    assert twice([1, 2]).tolist() == [2, 4]
    for wrong in (True, None, object(), "3 mm", Q(3, "mm")):
        with pytest.raises((UnitsRequired, UnitTextError)):
            twice(wrong)


def test_none_passes_only_where_it_is_the_default():
    assert torque("1 kW", speed="100 rad/s", extra=None).magnitude == pytest.approx(10.0)
    assert torque("1 kW", speed="100 rad/s", extra="5 N·m").magnitude == pytest.approx(15.0)
    with pytest.raises(UnitsRequired):
        torque("1 kW", speed=None)


def test_wrong_arguments_are_the_usual_type_error():
    with pytest.raises(TypeError, match="missing"):
        torque("1 kW")
    with pytest.raises(TypeError, match="unexpected|got an"):
        torque("1 kW", speed="1 rpm", colour="red")


def test_named_fields_get_units_and_others_stay():
    got = pull("10 lb")
    assert isinstance(got, Pull)
    assert got.tight.to("lbf").magnitude == pytest.approx(20.0)
    assert got.name == "stage"
    assert pull.si(3.0) == Pull(6.0, 3.0)


# quantity, kind that refuses it, word of the reason
NOT_THAT = [
    (Q(60, "newton*meter"), "energy", "torque"),
    (Q(60, "pound_force*foot"), "energy", "torque"),
    (Q(60, "joule"), "torque", "energy"),
    (Q(1, "kilowatt*hour"), "torque", "energy"),
    (Q(5, "N*m/rad"), "torque", "stiffness"),
    (Q(5, "N*m"), "torsional stiffness", "radians"),
    (Q(60, "hertz"), "rotation", "turns"),
    (Q(60, "1/second"), "rotation", "turns"),
    (Q(60, "rpm"), "frequency", "rotational speed"),
    (Q(60, "rad/s"), "frequency", "rotational speed"),
    (Q(1, ""), "angle", "plain number"),
    (Q(1, "radian"), "number", "angle"),
    (Q(20, "degC"), "temperature rise", "temperature"),
    (Q(20, "delta_degC"), "temperature", "difference"),
    (Q(20, "kg"), "force", "another kind"),
    (Q(20, "mm"), "area", "another kind"),
]


@pytest.mark.parametrize(("q", "kind", "word"), NOT_THAT)
def test_same_dimension_is_not_same_kind(q, kind, word):
    with pytest.raises(UnitTextError, match=word):
        to_si(q, kind)


@pytest.mark.parametrize(
    ("q", "kind", "si"),
    [
        (Q(60, "N*m"), "torque", 60.0),
        (Q(1, "kN*mm"), "torque", 1.0),
        (Q(6, "W") / Q(2, "rad/s"), "torque", 3.0),
        (Q(60, "rpm"), "rotation", 2 * np.pi),
        (Q(60, "hertz"), "frequency", 60.0),
        (Q(180, "degree"), "angle", np.pi),
        (Q(2, "W*hour"), "energy", 7200.0),
        (Q(3, "kJ"), "energy", 3000.0),
        (Q(20, "degC"), "temperature", 293.15),
        (Q(9, "delta_degF"), "temperature rise", 5.0),
        (Q(80, "kelvin"), "temperature rise", 80.0),
        (Q(2, "N*m/degree"), "torsional stiffness", 360 / np.pi),
        (Q(1, "mm**2"), "wire", 1e-6),
    ],
)
def test_quantities_of_the_kind_pass(q, kind, si):
    assert to_si(q, kind) == pytest.approx(si)


def test_a_measure_of_another_kind_is_refused_by_name():
    with pytest.raises(UnitTextError, match="this is a torque"):
        to_si(read("60 N·m", "torque"), "energy")
    assert to_si(read("1.5 mm²", "wire"), "area") == pytest.approx(1.5e-6)


def test_there_is_one_registry():
    assert pint.Quantity(1, "inch")._REGISTRY is ureg or pint.get_application_registry().get() is ureg
    other = pint.UnitRegistry().Quantity(3, "mm")
    with pytest.raises(UnitTextError, match="another unit registry"):
        to_si(other, "length")


def test_quantity_from_measure_or_si():
    assert quantity(read("1 in", "length")).to("mm").magnitude == pytest.approx(25.4)
    assert quantity(np.array([1.0, 2.0]), "force").units == ureg.newton
    assert to_si(quantity(read("20 °C", "temperature")), "temperature") == 293.15
    with pytest.raises(TypeError):
        quantity(3.0)


# ---- declarations that do not fit fail at import


def _f(a, *rest, b=1):
    return a


@pytest.mark.parametrize(
    ("declared", "words"),
    [
        ({"c": "length"}, "no argument 'c'"),
        ({"a": "lenght"}, "unknown kind 'lenght'"),
        ({"rest": "length"}, "gathers"),
        ({"returns": "speed"}, "unknown kind 'speed'"),
        ({"returns": {"x": "length"}}, "NamedTuple"),
    ],
)
def test_a_bad_declaration_fails_when_it_is_made(declared, words):
    with pytest.raises(TypeError, match=words):
        unit_checked(**declared)(_f)


def test_a_field_the_result_does_not_have_fails_when_it_is_made():
    def g() -> Pull:
        return Pull(1, 2)

    with pytest.raises(TypeError, match="no field loose"):
        unit_checked(returns={"loose": "force"})(g)
    assert unit_checked(returns={"slack": "force"})(g)().slack == Q(2, "newton")


def test_a_measure_is_immutable():
    m = Measure(1.0, "length", "1 m")
    with pytest.raises(AttributeError):
        m.si = 2.0


# ---- objects, tuples of them, several results, and units that are not SI


class Ring(NamedTuple):
    size: float
    share: float


RING = {"size": "length"}


@unit_checked(ring=RING, extra="length", returns=RING)
def larger(ring, extra=None) -> Ring:
    return Ring(ring.size + (extra or 0.0), np.float64(ring.share))


@unit_checked(size="length", returns=RING)
def rings(size) -> tuple[Ring, ...]:
    return (Ring(size, 0.25), Ring(2 * size, 0.5))


@unit_checked(size="length", returns=["length", "number"])
def pair(size):
    return size, np.float64(0.25)


@unit_checked(seconds="time", returns={"size": ("time", "hour")})
def shift(seconds) -> Ring:
    return Ring(seconds / 3600.0, 1.0)


def test_an_object_takes_units_and_hands_them_out():
    once = larger(rings("10 mm")[1], "5 mm")
    assert once.size == Q(0.025, "m") and once.share == 0.5
    assert larger(Ring("1 in", 1.0)).size.to("inch").magnitude == pytest.approx(1.0)
    with pytest.raises(UnitsRequired, match=r"ring\.size"):
        larger(Ring(0.01, 1.0))
    with pytest.raises(UnitTextError):
        larger(Ring(Q(1.0, "newton"), 1.0))
    assert larger.si(Ring(0.01, 1.0), 0.01) == Ring(0.02, 1.0)


def test_several_results_and_tuples_of_objects_have_their_units():
    assert [r.size for r in rings("10 mm")] == [Q(0.01, "m"), Q(0.02, "m")]
    size, share = pair("10 mm")
    assert size == Q(0.01, "m") and share == 0.25 and repr(share) == "0.25"


def test_a_result_may_be_in_a_unit_that_is_not_si():
    assert shift("2 h").size.units == ureg.hour and shift("2 h").size.to("second").magnitude == pytest.approx(7200.0)
    with pytest.raises(TypeError, match="none of the kind"):
        unit_checked(returns={"size": ("time", "meter")})(shift.si)
    with pytest.raises(TypeError, match="unknown kind"):
        unit_checked(ring={"size": "lenght"})(larger.si)


def test_a_plain_number_of_a_result_shows_six_digits_and_is_a_float():
    found = larger(Ring("1 in", 1 / 3))
    assert repr(found.share) == "0.333333" and found.share == 1 / 3 and isinstance(found.share, float)


def test_other_registries_show_their_quantities_as_ever():
    assert "Quantity" in repr(pint.UnitRegistry().Quantity(3, "mm"))
