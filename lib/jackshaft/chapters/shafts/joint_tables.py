"""Tables of joints: those that are there, those that could be, and ways to mend a worn one."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.ratio.analysis import ENGINE
from jackshaft.chapters.shafts import mending as shaft_mending
from jackshaft.chapters.shafts import splines as shaft_splines
from jackshaft.chapters.shafts.capacity import bolted, strength_of
from jackshaft.chapters.shafts.data import KEY_YIELD, Joint, Sound
from jackshaft.chapters.shafts.joints import torques_of
from jackshaft.chapters.shafts.mending import E70, FRICTION, WANTED
from jackshaft.mechanics import joints, keys, welds
from jackshaft.results.checks import STOP, Table
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.tables import source, table


def tables(reader: Reader, found: tuple[Joint, ...], done: Mapping[str, Findings]):
    """Yield the tables of joints: those that are there, those that could be, ways to mend, tractor splines."""
    if found:
        yield _there(reader, found)
        yield shaft_splines.sheet(reader, found)
    rows, mending = [], []
    for shaft in (ENGINE, *reader.names("shaft")):
        size = reader.si("engine.shaft_diameter" if shaft == ENGINE else f"shaft[{shaft}].diameter")
        mine = [j for j in found if j.shaft == shaft and j.capacity.sound is not None]
        if size is None and not mine:
            continue
        torques = torques_of(reader, done, shaft)
        most, once = torques.hardest[1], torques.seldom
        if size is not None:
            rows += [(shaft, *cells) for cells in _could_be(reader, size, most)]
        for name, sound in [(j.name, j.capacity.sound) for j in mine] or _usual_key(reader, size):
            mending += [(shaft, name, *cells) for cells in _mending(reader, shaft, sound, most, once)]
    if rows:
        yield Table(
            "Joints that could be",
            ("shaft", "joint", "of the size", "carries", "× the peak", "on the shaft"),
            tuple(rows),
            "At yield or at slip, without a factor. Take a factor of 1.5 for a steady load, 2.5 to 3 with shocks, 4.5 "
            "with heavy ones. Friction is taken as 0.12, the key as common key stock, the weld as E70."
            f"{_key_sizes(reader)}",
            aside=True,
        )
    yield from _mended(mending)
    if rows and reader.system:
        yield shaft_splines.profiles(reader)


def _there(reader: Reader, found: tuple[Joint, ...]) -> Table:
    """Return the table of the joints that are written down."""
    return Table(
        "Joints that are there",
        ("shaft", "joint", "kind", "carries", "gives first", "peak", "on the shaft"),
        tuple(
            (
                j.shaft,
                j.name,
                j.kind,
                reader.number(j.carries, "torque", low=j.capacity.least),
                j.capacity.way,
                reader.cell(j.torques.peak, "torque"),
                j.capacity.words,
            )
            for j in found
        ),
        "At yield or at slip, without a factor.",
    )


def _mended(rows: list[tuple[Value, ...]]):
    """Yield the tables of ways to mend: what each carries, and what each does."""
    if not rows:
        return
    yield Table(
        "Mending a worn keyseat or spline",
        ("shaft", "joint", "way", "carries", "gives first", "× the peak", "shaft keeps", "verdict"),
        tuple(rows),
        "What the joint carries when it is mended, and the share of the plain shaft's torque that is left. For a go "
        f"both must carry {WANTED:g} times the peak, and what comes seldom, a jam or a clutch that slips, once. A "
        "sleeve is taken as a tenth of the shaft thick and a thousandth tight, a pin as a quarter of the shaft: common "
        "practice, no source.",
        aside=True,
    )
    used = {row[2] for row in rows}
    yield Table(
        "What each way of mending does",
        ("way", "what it does"),
        tuple((n, way.words) for n, way in shaft_mending.WAYS.items() if n in used),
        aside=True,
    )


def _usual(reader: Reader, size: float) -> tuple[keys.Key, float, float]:
    """Return the key of the usual size for a shaft, its length (m) and the torque that it carries (N·m)."""
    key, long = keys.key_for.si(size, system=reader.system), 1.25 * size
    found = keys.key_capacity.si(size, key.width, key.height, long, key_yield=KEY_YIELD)
    return key, long, float(found.governing)


def _key_sizes(reader: Reader) -> str:
    """Return whose the key sizes are; a seat is cut by them."""
    rows = [r for r in table("keys").rows if r["standard"] == keys.STANDARDS.get(reader.system)]
    first = dict.fromkeys(r.source.split(";")[0] for r in rows)
    return f" Key sizes: {'; '.join(source(key).title for key in first)}." if first else ""


def _usual_key(reader: Reader, size: float) -> list[tuple[str, Sound]]:
    """Return a key of the usual size for a shaft whose joints are not written down; nothing where none is tabulated."""
    try:
        key, long, carries = _usual(reader, size)
    except ValueError:
        return []
    return [("a usual key", Sound("parallel key", size, carries, long, key.width, height=2 * key.shaft_depth))]


def _mending(reader: Reader, shaft: str, sound: Sound, most: float | None, once: tuple[str, float] | None):
    """Yield one row for each way to mend a joint; ``once`` is the torque that comes seldom, with its case."""
    strength = strength_of(reader, shaft)
    for name in shaft_mending.ways_for(sound.kind, shaft):
        try:
            way = shaft_mending.mend(name, sound)
        except ValueError as why:
            yield name, "", f"{why}", "", "", STOP
            continue
        yield (
            name,
            reader.number(way.carries, "torque"),
            way.gives,
            "" if not most else reader.number(way.carries / most, "number", decimals=1),
            reader.number(way.share, "number", by="percent", decimals=0),
            shaft_mending.verdict(way, sound.shaft, strength, most, None if once is None else once[1]),
        )


def _could_be(reader: Reader, size: float, torque: float | None):
    """Yield one row for each kind of joint in a usual size for a shaft."""
    for name, of, carries, words in (*_cut(reader, size), *_bolted(reader, size), _welded(reader, size)):
        share = "" if not torque or carries is None else reader.number(carries / torque, "number", decimals=1)
        yield (
            (name, "", of, "", "") if carries is None else (name, of, reader.number(carries, "torque"), share, words)
        )
    yield ("taper bush", "as bought", "its maker's figure", "", "grips all round, comes off with its own screws")


def _cut(reader: Reader, size: float):
    """Yield name, size, torque in N·m and words of a key and of set screws; without a torque why there is none."""
    try:
        key, long, carries = _usual(reader, size)
        share = keys.keyed_share(size, key.width, key.shaft_depth)
        yield (
            "parallel key",
            f"{reader.show(key.width, 'length')} × {reader.show(key.height, 'length')}, "
            f"{reader.show(long, 'length')} long",
            carries,
            f"leaves {100 * share:.0f} % of the plain shaft; raises bending 2.1 times, torsion 3 times",
        )
    except ValueError:
        yield "parallel key", "no size is tabulated", None, ""
    if reader.system == "inch":
        screw = joints.set_screw.si("3/8" if size > 0.022 else "1/4")
        yield (
            "two set screws",
            f"{screw.size} in, seated with {reader.show(screw.seating_torque, 'torque')}",
            float(joints.set_screw_torque.si(screw.holding_least, size, count=2)),
            "a dimple at each point; for light loads only",
        )


def _bolted(reader: Reader, size: float):
    """Yield the same of what bolts hold by friction."""
    bolt, grade = ("3/8-16", "SAE 5") if reader.system == "inch" else ("M10x1.5", "8.8")
    try:
        row = joints.bolt(bolt, grade)
        force, tighten = joints.preload_si(row)
        yield (
            "split hub",
            f"2 bolts {bolt} {grade}, {reader.show(tighten, 'torque')} each",
            float(joints.clamp_torque.si(2 * force, size, FRICTION, model="half circle")),
            "no cut in the shaft; the edge bites in bending",
        )
        circle = 2.5 * size
        flange = bolted(row, 4, circle, FRICTION)
        yield (
            "flange, 4 bolts",
            f"{bolt} {grade} on {reader.show(circle, 'length')}",
            float(flange.friction),
            f"friction; {reader.show(float(flange.shear), 'torque')} in shear where bolts fit their holes",
        )
    except ValueError:
        yield "split hub", "no bolt is tabulated", None, ""


def _welded(reader: Reader, size: float):
    leg = 0.2 * size
    one = welds.weld_ring.si(size, leg, 1.0)
    return (
        "weld ring",
        f"leg {reader.show(leg, 'length')}, one end",
        float(welds.weld_allowed.si(E70, reversing=True) / one.torsion),
        "the metal beside it is weak, and the next repair cuts it off; preheat harder steels",
    )
