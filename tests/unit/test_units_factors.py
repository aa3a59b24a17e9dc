"""Conversion factors against exact definitions (NIST SP 811, from memory) and the units library."""

import math

import pytest
from jackshaft.units import KINDS, read, registry
from jackshaft.units._factors import UNITS, factor
from jackshaft.units._kinds import EXACT, FOLDED, canon, find_unit

ureg = registry()

# unit, kind, SI value by definition
EXACTLY = [
    ("in", "length", "0.0254"),
    ("ft", "length", "0.3048"),
    ("yd", "length", "0.9144"),
    ("thou", "length", "0.0000254"),
    ("lb", "mass", "0.45359237"),
    ("oz", "mass", "0.028349523125"),
    ("lbf", "force", "4.4482216152605"),
    ("kgf", "force", "9.80665"),
    ("kip", "force", "4448.2216152605"),
    ("hp", "power", "745.69987158227022"),
    ("PS", "power", "735.49875"),
    ("lbf·ft", "torque", "1.3558179483314004"),
    ("lbf·in", "torque", "0.1129848290276167"),
    ("kgf·m", "torque", "9.80665"),
    ("ft·lbf", "energy", "1.3558179483314004"),
    ("kWh", "energy", "3600000"),
    ("psi", "stress", "6894.757293168361"),
    ("ksi", "stress", "6894757.293168361"),
    ("bar", "stress", "100000"),
    ("kgf/cm²", "stress", "98066.5"),
    ("ft/min", "surface speed", "0.00508"),
    ("ft/s", "surface speed", "0.3048"),
    ("mph", "surface speed", "0.44704"),
    ("in²", "area", "0.00064516"),
    ("in³", "volume", "0.000016387064"),
    ("in⁴", "second moment", "4.162314256e-7"),
    ("lb·ft²", "inertia", "0.0421401100938048"),
    ("lb·in²", "inertia", "0.0002926396534292"),
    ("lbf/in", "spring rate", "175.12683524647636"),
    ("lb/ft", "linear density", "1.4881639435695538"),
    ("A·h", "charge", "3600"),
]


@pytest.mark.parametrize(("unit", "kind", "value"), EXACTLY)
def test_factor_is_the_exact_definition(unit, kind, value):
    got = read(f"1 {unit}", kind).si
    assert abs(got - float(value)) <= 4 * math.ulp(float(value))


@pytest.mark.parametrize(("unit", "value"), [("rpm", 2 * math.pi / 60), ("r/s", 2 * math.pi), ("°/s", math.pi / 180)])
def test_rotation_factors(unit, value):
    assert read(f"1 {unit}", "rotation").si == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize("kind", sorted(EXACT))
def test_every_spelling_is_the_library_unit_it_claims(kind):
    assert EXACT[kind]
    for unit in EXACT[kind].values():
        for x in (1.0, 37.5):
            wanted = ureg.Quantity(x, unit.pint).to(KINDS[kind].si).magnitude
            assert x * unit.factor + unit.offset == pytest.approx(wanted, rel=2e-15), unit


def test_each_unit_that_is_declared_is_spelled():
    spelled = " ".join(unit.pint for table in EXACT.values() for unit in table.values())
    coherent = " ".join(kind.si for kind in KINDS.values())
    for name, size in UNITS.items():
        assert size > 0.0 and (name in spelled or name in coherent), name
    with pytest.raises(ValueError, match="no unit is called 'furlong'"):
        factor("furlong/second")


@pytest.mark.parametrize("kind", sorted(EXACT))
def test_every_spelling_is_found_as_it_is_written(kind):
    for unit in EXACT[kind].values():
        if kind == "rotation" and unit.spelling == "/min":
            continue
        got = read(f"2 {unit.spelling}", kind)
        assert got.si == pytest.approx(2 * unit.factor + unit.offset, rel=1e-14), unit


def test_folding_capitals_never_joins_two_sizes():
    for kind, table in EXACT.items():
        for key, unit in table.items():
            folded = FOLDED[kind].get(key.casefold())
            assert folded is None or folded.factor == unit.factor or unit.exact_case, (kind, key)


def test_no_kind_reads_milli_for_mega():
    for kind, small, large in [
        ("power", "mW", "MW"),
        ("current", "mA", "MA"),
        ("stress", "mPa", "MPa"),
        ("voltage", "mV", "MV"),
        ("energy", "mJ", "MJ"),
        ("resistance", "mΩ", "MΩ"),
    ]:
        a, b = find_unit(kind, canon(small)), find_unit(kind, canon(large))
        assert a is None or b is None or b.factor / a.factor == pytest.approx(1e9)


def test_each_kind_names_units_it_can_read():
    for name, kind in KINDS.items():
        assert ureg.Quantity(1.0, kind.si).magnitude == 1.0
        for label in filter(None, (kind.inch, kind.metric)):
            assert label == "AWG" or find_unit(name, canon(label)) is not None, (name, label)
