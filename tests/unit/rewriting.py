"""Builds written another way: the same machine in other units, and machines spoiled at random.

A build is held as its raw TOML, so that what is rewritten goes the whole way: file, reader, checks, work-up.
"""

import copy
import dataclasses
import itertools
import math
import random
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path

import numpy as np
import tomlkit
from jackshaft.buildfile import Build, BuildProblems, parse
from jackshaft.buildfile.schema import CHAPTERS, TOP, chapter
from jackshaft.results import work_up
from jackshaft.units import Measure, read

TOP_FOLDER = Path(__file__).resolve().parents[2]

#: Units of each kind, inch first, metric after; what has one unit in both systems gets another spelling.
UNITS = {
    "length": (("in", "ft"), ("mm", "cm", "m")),
    "rotation": (("rpm",), ("rad/s", "r/s")),
    "surface speed": (("ft/min",), ("m/s", "m/min")),
    "force": (("lbf",), ("N", "kN", "kgf")),
    "torque": (("lbf·ft", "lbf·in"), ("N·m",)),
    "energy": (("ft·lbf",), ("J", "kJ")),
    "power": (("hp",), ("kW", "W")),
    "current": (("A",), ("mA",)),
    "voltage": (("V",), ("mV",)),
    "resistance": (("Ω",), ("mΩ",)),
    "angle": (("°",), ("rad",)),
    "mass": (("lb", "oz"), ("kg", "g")),
    "stress": (("psi", "ksi"), ("MPa", "bar")),
    "time": (("min", "h"), ("s",)),
    "temperature": (("°F",), ("°C", "K")),
    "temperature rise": (("°F",), ("K",)),
    "inertia": (("lb·ft²",), ("kg·m²",)),
    "area": (("in²",), ("mm²",)),
    "wire": (("kcmil",), ("mm²",)),
    "frequency": (("Hz",), ("kHz",)),
    "linear density": (("lb/ft",), ("kg/m", "g/m")),
    "spring rate": (("lbf/in",), ("N/mm", "N/m")),
    "charge": (("A·h",), ("mAh",)),
    "volume": (("in³",), ("cm³",)),
    "inductance": (("mH",), ("H",)),
    "number": (("",), ("%",)),
}


def files():
    """Every build of the project and of the tests."""
    return sorted([*TOP_FOLDER.glob("data/builds/*.toml"), *TOP_FOLDER.glob("tests/builds/*.toml")])


def raw(path: Path) -> dict:
    """A build file as plain dictionaries."""
    return tomllib.loads(path.read_text(encoding="utf-8"))


def read_build(document: dict, file: str = "mine.toml") -> Build:
    """The build of a raw document, read as a file is."""
    return parse(tomlkit.dumps(document).encode(), file=file)


def written(si: float, kind: str, unit: str, digits: int = 12) -> str:
    """A value in one unit, to that many digits; the factor is asked of the reader."""
    zero, one = (read(f"{n} {unit}", kind).si for n in (0, 1))
    return f"{(si - zero) / (one - zero):.{digits}g} {unit}".strip()


def leaves(document: dict):
    """Yield (holder, name, field, path) for each value of a raw document that the schema knows."""

    def walk(section, here, path, parts):
        for name, value in here.items():
            part = next((p for p in parts if p.name == name), None)
            if part is not None and isinstance(value, dict):
                yield from walk(part, value, f"{path}{name}.", part.parts)
            elif part is not None and isinstance(value, list):
                for k, item in enumerate(value):
                    yield from walk(part, item, f"{path}{name}[{item.get('name', k)}].", part.parts)
            elif section.field(name) is not None:
                yield here, name, section.field(name), path + name

    yield from walk(TOP, document, "", [chapter(c.name) for c in CHAPTERS])


def rewritten(document: dict, pick) -> dict:
    """The same document with every quantity in another unit; ``pick(kind)`` names the unit."""
    document = copy.deepcopy(document)
    system = document.get("shown_in", "inch")
    for holder, name, field, _ in leaves(document):
        value = holder[name]
        table = value if isinstance(value, dict) else {"value": value}
        if field.kind not in UNITS or str(table.get("value")).strip().lower() == "none":
            continue
        text = table["value"] if isinstance(table["value"], str) else repr(table["value"])
        got = read(text, field.kind, system=system)
        unit = pick(field.kind)
        new = dict(table) | {"value": written(got.si, field.kind, unit)}
        kind = "temperature rise" if field.kind == "temperature" else field.kind
        spread = got.plus_minus
        if "plus_minus" in table:
            spread = read(table["plus_minus"], kind, system=system).si
        if spread is not None:
            new["plus_minus"] = written(spread, kind, pick(kind))
        holder[name] = new if len(new) > 1 else new["value"]
    return document


def in_system(which: int):
    """Pick the first unit of one system: 0 inch, 1 metric."""
    return lambda kind: UNITS[kind][which][0]


def at_random(rng: random.Random):
    """Pick any unit of a kind."""
    return lambda kind: rng.choice([u for side in UNITS[kind] for u in side])


def spoiled(document: dict, rng: random.Random, changes: int = 3) -> dict:
    """A machine near this one: some values scaled, left out or put in another choice."""
    document = copy.deepcopy(document)
    system = document.get("shown_in", "inch")
    for _ in range(rng.randint(1, changes)):
        there = [leaf for leaf in leaves(document) if leaf[1] not in ("name", "schema", "shown_in")]
        holder, name, field, _ = rng.choice(there)
        value = holder[name]
        if rng.random() < 0.25:
            del holder[name]
        elif field.kind == "choice":
            holder[name] = rng.choice(field.choices)
        elif field.kind == "yes/no":
            holder[name] = not value if isinstance(value, bool) else True
        elif field.kind == "count":
            holder[name] = max(1, int(value) + rng.choice((-1, 1, 2))) if isinstance(value, int) else 1
        elif field.kind in UNITS:
            table = value if isinstance(value, dict) else {"value": value}
            text = table["value"] if isinstance(table["value"], str) else repr(table["value"])
            if text.strip().lower() == "none":
                continue
            si = read(text, field.kind, system=system).si
            unit = UNITS[field.kind][0 if system == "inch" else 1][0]
            # few digits, as a shop has them, so that limits of the tables are met exactly now and then
            new = written(si * rng.choice((0.25, 0.5, 0.8, 0.9, 1.1, 1.25, 2.0, 4.0)), field.kind, unit, 3)
            holder[name] = dict(table) | {"value": new} if isinstance(value, dict) else new
        elif name == "section":
            holder[name] = rng.choice(("A", "B", "C", "AA", "AX", "SPA", "SPZ", "3V", "4L", "5V"))
    return document


# What two work-ups have in common

#: What may be left of nothing, SI units: ten picometres. Twelve digits of a metre leave half of one, times a lever.
FLOOR = 1e-9

#: A bending moment where hardly any is left, N m: twelve digits of a place, times ten kilonewtons.
FLOORS = {"moment": 1e-8, "moment_swing": 1e-8}

#: Safeties: how much of the strength is used is held to ``FLOOR``, for where hardly anything pulls they have no bound.
SAFETIES = ("fatigue", "yielding")

#: Odds are bell curves far out, which raise the twelfth digit of an input. An engagement is integrated in steps of
#: its own choice: where a last bit turns one step down, its numbers agree to the steps' tolerance and no better.
LOOSE = {".score": 1e-6, ".unlisted": 1e-6, ".engagement.": 1e-5, ".settled.": 1e-5}


def outcome(document: dict):
    """What comes of a document: the results, or in a list the keys that were refused, or the fault it ends in.

    That nothing ends in a fault is for other tests; here one machine must end in the same one in all units.
    """
    try:
        build = read_build(document)
    except BuildProblems as error:
        return sorted({(p.key, _plain(p.wanted)) for p in error.problems})
    try:
        return work_up(build)
    except Exception as fault:
        return [("a fault of the program", f"{type(fault).__name__}: {_plain(str(fault))}")]


def different(one, two, rel: float = 1e-9):
    """Yield in words what differs between two outcomes of one machine."""
    if isinstance(one, list) or isinstance(two, list):
        if one != two:
            words = [o if isinstance(o, list) else "nothing" for o in (one, two)]
            yield f"refused {words[0]} and {words[1]}"
        return
    if list(one.chapters) != list(two.chapters):
        yield f"chapters {list(one.chapters)} and {list(two.chapters)}"
        return
    for name, a in one.chapters.items():
        b = two.chapters[name]
        if a.state != b.state:
            yield f"{name}: {a.state} and {b.state}"
        if a.missing != b.missing:
            yield f"{name}: missing {a.missing} and {b.missing}"
        yield from unlike(a.data, b.data, name, rel)
    mine, other = ([(c.id, c.verdict, c.missing) for c in r.checks] for r in (one, two))
    if mine != other:
        yield f"checks {sorted(set(mine) ^ set(other))}"


def unlike(a, b, path: str, rel: float, size: float = 0.0):
    """Yield where two results differ; numbers that cancel are held to ``FLOOR``, in their SI unit."""
    loose, last = next((v for k, v in LOOSE.items() if k in path), None), path.rpartition(".")[2]
    rel, floor = (max(rel, loose), loose) if loose else (rel, FLOORS.get(last, FLOOR))
    if isinstance(a, Measure) and isinstance(b, Measure):
        yield from unlike((a.si, a.plus_minus, a.kind), (b.si, b.plus_minus, b.kind), path, rel)
    elif isinstance(a, bool | np.bool_) or isinstance(b, bool | np.bool_):
        if bool(a) != bool(b):
            yield f"{path}: {a} and {b}"
    elif isinstance(a, int | float | np.number) and isinstance(b, int | float | np.number):
        alike = a == b or (math.isnan(a) and math.isnan(b))
        alike |= last in SAFETIES and min(abs(a), abs(b)) > 0.0 and abs(1.0 / a - 1.0 / b) <= FLOOR * 1e-3
        if not alike and not abs(a - b) <= max(rel * max(abs(a), abs(b), size), floor):
            yield f"{path}: {a!r} and {b!r}"
    elif isinstance(a, np.ndarray) and isinstance(b, np.ndarray):
        if a.shape != b.shape:
            yield f"{path}: shapes {a.shape} and {b.shape}"
        elif a.dtype.kind in "fc":
            scale = float(np.nanmax(np.abs(a[np.isfinite(a)]), initial=0.0))
            if not np.allclose(a, b, rtol=rel, atol=max(rel * scale, floor), equal_nan=True):
                k = int(np.nanargmax(np.abs(a - b)))
                yield f"{path}: {a.ravel()[k]!r} and {b.ravel()[k]!r} at {k}"
        elif not np.array_equal(a, b):
            yield f"{path}: {a} and {b}"
    elif type(a) is not type(b):
        yield f"{path}: {type(a).__name__} and {type(b).__name__}"
    elif dataclasses.is_dataclass(a):
        for f in dataclasses.fields(a):
            yield from unlike(getattr(a, f.name), getattr(b, f.name), f"{path}.{f.name}", rel)
    elif isinstance(a, Mapping):
        if list(map(str, a)) != list(map(str, b)):
            yield f"{path}: keys {list(a)} and {list(b)}"
        else:
            for (k, x), y in zip(a.items(), b.values(), strict=True):
                yield from unlike(x, y, f"{path}[{k}]", rel)
    elif isinstance(a, list | tuple):
        if len(a) != len(b):
            yield f"{path}: {len(a)} and {len(b)} of them"
        else:
            names = getattr(a, "_fields", range(len(a)))
            floats = [abs(x) for x in a if isinstance(x, float) and math.isfinite(x)]
            beside = max(floats, default=0.0) if not hasattr(a, "_fields") else 0.0
            for n, x, y in zip(names, a, b, strict=True):
                yield from unlike(x, y, f"{path}.{n}", rel, beside)
    elif isinstance(a, str):
        return
    elif callable(a):
        return
    elif hasattr(a, "__dict__"):
        for k in vars(a):
            yield from unlike(getattr(a, k), getattr(b, k), f"{path}.{k}", rel)
    elif a != b:
        yield f"{path}: {a!r} and {b!r}"


def words(results):
    """Yield the words of facts, checks and sheets with every number taken out: a tie may end in another last digit."""
    for name, found in results.chapters.items():
        for fact in found.facts:
            yield name, _plain(fact.label), _plain(fact.value), _plain(fact.note)
        for sheet in found.tables:
            yield name, sheet.title, _plain(sheet.note)
            for row in sheet.rows:
                yield name, sheet.title, *map(_plain, row)
    for check in results.checks:
        yield tuple(_plain(t) for t in (check.id, check.value, check.limit, check.reason, check.remedy, check.source))


def _plain(text: str) -> str:
    return re.sub(r"\d+(?:[.,]\d+)*", "#", text)


def said_otherwise(one, two) -> list[str]:
    """Tell where two outcomes of one machine are put in other words."""
    if isinstance(one, list) or isinstance(two, list):
        return []
    return [f"{a} and {b}" for a, b in itertools.zip_longest(words(one), words(two)) if a != b]
