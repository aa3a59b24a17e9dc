"""What may mend a shaft: another size or steel, pulleys nearer to their bearings, joints that carry more."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft import tables
from jackshaft.buildfile.naming import named
from jackshaft.chapters.ratio.analysis import ENGINE
from jackshaft.chapters.ratio.cures import slowed, turned_round
from jackshaft.chapters.shafts import assembly, key_size, outboard
from jackshaft.chapters.shafts.capacity import strength_of
from jackshaft.chapters.shafts.crank import all_pulls, clutch_on_crank, crank_of
from jackshaft.chapters.shafts.data import KEY_YIELD, Joint, ShaftState
from jackshaft.chapters.shafts.needed import needed_at
from jackshaft.chapters.shafts.splines import SPEED_GO
from jackshaft.mechanics import bearing_sizes, keys, shaft_rules
from jackshaft.parts import shaft_moves
from jackshaft.parts.along import bearing_widths, bears, has_room
from jackshaft.parts.load_at_speed import carried
from jackshaft.parts.motor import is_motor, source_word
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing, as_sold
from jackshaft.units import INCH, read

#: Sizes of bar, steels and lengths of a key that are tried for one check.
SIZES, STEELS, BORES = 4, 3, 2

#: A key as long as this many times its shaft bears no better at its far end: common practice, no source.
LONGEST_KEY = 2.0
MARGINS = (1.0, 1.25, 1.5)
#: Set screws that a hub has room for; bolts of a flange or split hub go up to eight. Common practice, no source.
MOST_SCREWS = {"set screws": 4}
LENGTH = ("1/8 in", "5 mm")


def stock_from(least: float, system: str) -> list[float]:
    """Return the sizes of round bar that are sold from a diameter upward, m."""
    sizes = (
        [n * INCH for n in shaft_rules.INCH_STOCK] if system == "inch" else [n * 1e-3 for n in shaft_rules.METRIC_STOCK]
    )
    return [s for s in sizes if s >= least - 1e-9]


def _bores_from(failing: Failing, shaft: str, least: float) -> list[float]:
    """Return the bores of metric bearings from a diameter upward, m, where bearings of a known size sit on a shaft."""
    reader, widths = failing.reader, bearing_widths(failing)
    if not any(reader.get(f"bearing[{name}].shaft") == shaft for name in widths):
        return []
    return sorted({s.bore for s in bearing_sizes.choose.si(least_bore=least - 1e-9, kinds=("metric",))})[:BORES]


def _state(failing: Failing, shaft: str) -> ShaftState | None:
    data = failing.data("shafts")
    return None if data is None else data.shafts.get(shaft)


def _thicker(failing: Failing, shaft: str, least: float) -> Iterator[Proposal]:
    """Yield a shaft of one diameter in the next sizes of bar; a stepped one with each thinner step brought up to it."""
    reader, system = failing.reader, failing.build.system
    steps = reader.names(f"shaft[{shaft}].step")
    bars, fitted = stock_from(least, system)[:SIZES], _fitted_anew(failing, shaft)
    for size in [*_bores_from(failing, shaft, least), *bars]:
        text = as_sold(size, system)
        if not steps:
            made = f"of {text} bar" if size in bars else f"{text} thick"
            yield Proposal(f"Make {shaft} {made}.{fitted}", {f"shaft[{shaft}].diameter": text})
            continue
        keys_ = [f"shaft[{shaft}].step[{s}].diameter" for s in steps]
        thin = [k for k in keys_ if (reader.si(k) or size) < size - 1e-9]
        if thin:
            yield Proposal(f"Make {shaft} {text} thick where it is thinner.{fitted}", dict.fromkeys(thin, text))


def _fitted_anew(failing: Failing, shaft: str) -> str:
    """Return what a shaft of another size asks for beside itself, as a sentence; nothing where nothing sits on it."""
    reader, base = failing.reader, f"shaft[{shaft}]"
    bears = any(reader.get(f"bearing[{name}].shaft") == shaft for name in reader.names("bearing"))
    hubs = bool(reader.names(f"{base}.joint") or reader.names(f"{base}.load"))
    wants = [w for w, there in (("bearings for that size", bears), ("hubs bored to it", hubs)) if there]
    return f" It then takes {' and '.join(wants)}." if wants else ""


def _step_by_step(failing: Failing, state: ShaftState) -> Iterator[Proposal]:
    """Yield a stepped shaft with only those steps thicker that are too weak, each in the next size of bar."""
    reader, base = failing.reader, f"shaft[{state.name}].step"
    changes: dict[str, str] = {}
    for name in reader.names(base):
        start, end, size = (reader.si(f"{base}[{name}].{k}") for k in ("start", "end", "diameter"))
        if None in (start, end, size):
            return
        wants = [n for s in state.sections if start - 1e-9 <= s.at <= end + 1e-9 and (n := needed_at(state, s))]
        stock = stock_from(max(wants, default=0.0), failing.build.system)
        if wants and max(wants) > size and stock:
            changes[f"{base}[{name}].diameter"] = as_sold(stock[0], failing.build.system)
    if changes:
        sizes = ", ".join(f"{k.split('[')[2].split(']')[0]} {t}" for k, t in changes.items())
        yield Proposal(f"Make these lengths of {state.name} thicker: {sizes}.", changes)


def _stronger(failing: Failing, shaft: str) -> Iterator[Proposal]:
    """Yield steels sold as bar that yield higher than the one that is there."""
    now, reader, count = strength_of(failing.reader, shaft), failing.reader, 0
    if now is None:
        return
    rows = {r["material"]: r for r in tables.table("materials").rows}
    for name in (row["material"] for row in tables.table("shaft_steels")):
        if rows[name]["yield_mpa"] * 1e6 <= 1.02 * now or count == STEELS:
            continue
        count += 1
        changes = {f"shaft[{shaft}].material": name}
        typed = [f"shaft[{shaft}].{k}" for k in ("yield_strength", "tensile_strength")]
        changes |= dict.fromkeys((k for k in typed if reader.get(k) is not None), "")
        if name.endswith("CD") and reader.get(f"shaft[{shaft}].finish") == "hot-rolled":
            changes[f"shaft[{shaft}].finish"] = "machined or cold-drawn"
        yield Proposal(f"Make {shaft} of {name}.", changes)


def _both(failing: Failing, shaft: str, least: float) -> Iterator[Proposal]:
    """Yield thicker bar together with pulleys nearer to their bearings, for what neither mends alone."""
    moves = list(shaft_moves.nearer(failing, shaft))[1:2] + list(shaft_moves.outboard(failing, shaft))[:1]
    for move in moves:
        for bar in list(_thicker(failing, shaft, 0.75 * least))[:2]:
            yield Proposal(f"{move.words} {bar.words}", {**move.changes, **bar.changes})


def _strength(failing: Failing) -> Iterator[Proposal]:
    shaft, state = failing.part, _state(failing, failing.part)
    if state is None:
        return
    yield from shaft_moves.slacker(failing, shaft)
    yield from list(shaft_moves.nearer(failing, shaft))[:3]
    yield from _stronger(failing, shaft)
    needs = [n for s in state.sections if (n := needed_at(state, s))]
    yield from _step_by_step(failing, state)
    least = max(needs, default=0.0)
    if least:
        yield from _thicker(failing, shaft, least)
        yield from _both(failing, shaft, least)
    yield from list(shaft_moves.bearing_nearer(failing, shaft))[:3]
    yield from shaft_moves.outboard(failing, shaft)


def _stiffer(power: float):
    """Return proposals for a check whose value over its limit falls with a power of the diameter."""

    def proposed(failing: Failing) -> Iterator[Proposal]:
        shaft, state = failing.part, _state(failing, failing.part)
        if state is None:
            return
        found, wanted = getattr(failing.check.found, "si", None), getattr(failing.check.wanted, "low", None)
        wanted = wanted or getattr(failing.check.wanted, "si", None)
        if power == SLOPE:
            tilting = {f"bearing[{b}].self_aligning": "yes" for b in state.reactions.bearings}
            yield Proposal(f"Take bearings that let {shaft} tilt: self-aligning ones, or inserts.", tilting)
        yield from shaft_moves.slacker(failing, shaft)
        yield from list(shaft_moves.nearer(failing, shaft))[:3]
        if found and wanted:
            grow = max(found / wanted, 1.02) ** (1.0 / power)
            yield from _thicker(failing, shaft, grow * min(s.diameter for s in state.steps))
        yield from list(shaft_moves.bearing_nearer(failing, shaft))[:3]
        yield from shaft_moves.outboard(failing, shaft)

    return proposed


SLOPE, WHIRL = 4.0, 2.0


def _joint(failing: Failing) -> Iterator[Proposal]:
    data = failing.data("shafts")
    joint = None if data is None else next((j for j in data.joints if j.part == failing.part), None)
    if joint is None:
        return
    wanted = getattr(failing.check.wanted, "si", None)
    if not wanted or not joint.carries > 0:
        return
    at = "engine" if joint.shaft == ENGINE else f"shaft[{joint.shaft}].joint[{joint.name}]"
    yield from _same_kind(failing, joint, at, wanted / joint.carries)
    if joint.shaft != ENGINE:
        yield from _keyed(failing, joint, at, wanted)


def _same_kind(failing: Failing, joint: Joint, at: str, short: float) -> Iterator[Proposal]:
    """Yield the joint longer, or with more screws or bolts, by as much as it falls short."""
    reader, kind = failing.reader, joint.kind
    length = "engine.key_length" if joint.shaft == ENGINE else f"{at}.length"
    if kind in ("parallel key", "spline") and (now := reader.si(length)) is not None:
        most = LONGEST_KEY * joint.capacity.sound.shaft
        if joint.shaft == ENGINE and clutch_on_crank(reader):
            most = min(most, reader.si("clutch.outside_length", most))  # the key lies in the clutch's hub
        for margin in MARGINS:
            if short * margin * now <= most:
                text = failing.up(short * margin * now, "length", *LENGTH)
                yield Proposal(f"Let {joint.part} bear over {text}.", {length: text})
    if kind in ("set screws", "split hub", "flange"):
        count = reader.get(f"{at}.count") or {"set screws": 1, "split hub": 2}.get(kind, 0)
        more = -int(-count * short // 1)
        if count and count < more <= MOST_SCREWS.get(kind, 8):
            part = "screws" if kind == "set screws" else "bolts"
            yield Proposal(f"Fit {more} {part} of that size at {joint.part}.", {f"{at}.count": str(more)})


def _keyed(failing: Failing, joint: Joint, at: str, wanted: float) -> Iterator[Proposal]:
    """Yield a parallel key of the usual width, as long as it must be, in place of another joint or a smaller key."""
    reader, system = failing.reader, failing.build.system
    shaft = joint.shaft
    size = reader.si(f"shaft[{shaft}].diameter")
    state = _state(failing, shaft)
    place = reader.si(f"{at}.position")
    if state is not None and place is not None:
        here = next((s.shaft for s in state.sections if s.name == joint.name), None)
        size = here or size
    if size is None:
        return
    for bar in (
        size,
        *[s for s in stock_from(1.02 * size, system)[:SIZES] if not reader.names(f"shaft[{shaft}].step")],
    ):
        try:
            key = keys.key_for.si(bar, system=system)
            one = float(keys.key_capacity.si(bar, key.width, key.height, 1.0, key_yield=KEY_YIELD).governing)
        except ValueError:
            continue
        long = 1.05 * wanted / one
        if long > LONGEST_KEY * bar:
            continue
        length = failing.up(max(long, bar), "length", *LENGTH)
        width, height = (as_sold(v, system) for v in (key.width, key.height))
        changes = {f"{at}.kind": "parallel key", f"{at}.width": width, f"{at}.height": height, f"{at}.length": length}
        for other in ("screw", "count", "bolt", "grade", "circle", "leg", "rings", "rating", "profile", "repair"):
            if reader.get(f"{at}.{other}") is not None:
                changes[f"{at}.{other}"] = ""
        sizes = f"{width} wide, {height} high and {length} long"
        words = f"make {joint.part} {sizes}"
        if joint.kind != "parallel key":
            words = f"take a hub with a key {sizes} in place of {joint.part}"
        if bar != size:
            changes[f"shaft[{shaft}].diameter"] = text = as_sold(bar, system)
            words = orders(words, f"make {shaft} of {text} bar")
        fitted = _fitted_anew(failing, shaft) if bar != size else ""
        yield Proposal(f"{orders(words)}{fitted}", changes)


def _key(failing: Failing) -> Iterator[Proposal]:
    """Yield a key or spline no longer than it bears."""
    name = failing.part
    for shaft in (ENGINE, *failing.reader.names("shaft")):
        held, key = bears(failing.reader, shaft, name), f"shaft[{shaft}].joint[{name}].length"
        key = "engine.key_length" if shaft == ENGINE else key
        if held is not None and (shaft != ENGINE or name == "engine key") and held.fits > 0:
            text = failing.down(held.fits, "length", *LENGTH)
            yield Proposal(f"Make {name} {text} long.", {key: text}, clears=True)


def _weld(failing: Failing) -> Iterator[Proposal]:
    data = failing.data("shafts")
    joint = None if data is None else next((j for j in data.joints if j.part == failing.part), None)
    if joint is None or joint.shaft == ENGINE:
        return
    at, (_, most) = f"shaft[{joint.shaft}].joint[{joint.name}]", joint.torques.hardest
    if most:
        for proposal in _keyed(failing, joint, at, 1.5 * most):
            yield Proposal(proposal.words, proposal.changes, clears=True)
    yield Proposal(f"Make {joint.shaft} of AISI 1018 CD.", {f"shaft[{joint.shaft}].material": "AISI 1018 CD"})


def _spline_speed(failing: Failing) -> Iterator[Proposal]:
    """Yield a lower governed speed, or gearing, for a spline that the engine may run up too fast."""
    data, top = failing.data("shafts"), getattr(failing.check.found, "high", None)
    joint = None if data is None else next((j for j in data.joints if j.part == failing.part), None)
    if top and joint is not None and top > (most := SPEED_GO * joint.capacity.spline.profile.speed):
        yield from slowed(failing, most / top)


def _flanks(failing: Failing) -> Iterator[Proposal]:
    """Yield a spline that touches its hub over more length: the pressure falls as it grows."""
    data, found, wanted = failing.data("shafts"), failing.check.found, getattr(failing.check.wanted, "si", None)
    joint = None if data is None else next((j for j in data.joints if j.part == failing.part), None)
    most = getattr(found, "high", None) or getattr(found, "si", None)
    if joint is not None and most and wanted and joint.shaft != ENGINE:
        at = f"shaft[{joint.shaft}].joint[{joint.name}]"
        yield from _same_kind(failing, joint, at, most / wanted)


def _new_spline(failing: Failing) -> Iterator[Proposal]:
    """Yield a new shaft end and hub, of which no wear is read yet."""
    data = failing.data("shafts")
    joint = None if data is None else next((j for j in data.joints if j.part == failing.part), None)
    if joint is not None:
        key = f"shaft[{joint.shaft}].joint[{joint.name}].wear"
        yield Proposal(f"Renew {joint.part}, shaft end and hub.", {key: ""}, clears=True)


def maker_asked(failing: Failing) -> str:
    """Return what to ask the maker of the engine for: the pulls that its shaft must take, and where."""
    reader = failing.reader
    crank, at = crank_of(reader, failing.results.chapters), reader.si("engine.belt_at")
    if crank is None:
        return ""
    where = "" if at is None else f", {reader.tape(at)} from its face"
    return f"Ask the maker of the {source_word(reader)} whether its shaft takes {all_pulls(reader, crank)}{where}."


def _crank(failing: Failing) -> Iterator[Proposal]:
    """Yield the belt nearer to the engine, a bearing beyond it, both together, and a lower tension.

    Where a clutch carries the belt the clutch moves, and its bolt in the crank's end leaves no place for a bearing. Nor
    is one offered on a motor's shaft, or where the shaft ends before it.
    """
    yield from (p for p in _crank_moves(failing) if has_room(failing, ENGINE, p.changes))
    yield from shaft_moves.slacker(failing, ENGINE)


def _outboard(failing: Failing) -> Iterator[Proposal]:
    """Yield the shaft without the bearing that it does not reach, or that does not belong on it."""
    yield Proposal("Take the bearing beyond the belt off.", {outboard.AT: "none"}, clears=True)


def _crank_moves(failing: Failing) -> Iterator[Proposal]:
    reader = failing.reader
    at, behind = reader.si("engine.belt_at"), reader.si("engine.bearing_behind", 0.0)
    if at is None:
        return
    nearer = [failing.down(share * at, "length", *shaft_moves.PLACE) for share in shaft_moves.SHARES]
    clutch = clutch_on_crank(reader)
    for text in nearer:
        words = "Move the clutch toward the engine, its belt" if clutch else "Set the belt"
        yield Proposal(f"{words} {text} from the engine's face.", {"engine.belt_at": text})
    if clutch or is_motor(reader) or reader.si(outboard.AT) is not None:
        return
    length = reader.si(outboard.LENGTH)
    measured = "" if length is not None else " Measure first whether the shaft reaches so far."
    for belt in (None, *nearer[:2]):
        place = at if belt is None else read(belt, "length").si
        for beyond in (1.25, 1.5, 2.0) if belt is None else (1.25, 1.5):
            end = failing.up(beyond * (place + behind) - behind, "length", *shaft_moves.PLACE)
            if length is not None and read(end, "length").si > length:
                continue
            words = f"Carry the end of the engine's shaft in a bearing {end} from its face, in line with it.{measured}"
            first = "" if belt is None else f"Set the belt {belt} from the engine's face. "
            changes = {} if belt is None else {"engine.belt_at": belt}
            yield Proposal(first + words, {**changes, outboard.AT: end}, reveals=length is None)


def _pin(failing: Failing) -> Iterator[Proposal]:
    """Yield an idler's pin held at both ends, then a thicker one."""
    stage, _, name = failing.part.partition(": ")
    at, safety = f"stage[{stage}].pulley[{name}]", getattr(failing.check.found, "si", 0.0)
    size = failing.reader.si(f"{at}.pin_diameter")
    if failing.reader.get(f"{at}.pin_held") != "at both ends":
        yield Proposal(f"Hold the pin of {named('idler', name)} at both ends.", {f"{at}.pin_held": "at both ends"})
    wanted = getattr(failing.check.wanted, "si", None)
    if size and safety and wanted:
        for bar in stock_from(size * (wanted / safety) ** (1 / 3), failing.build.system)[:SIZES]:
            text = as_sold(bar, failing.build.system)
            yield Proposal(f"Turn {named('idler', name)} on a pin of {text}.", {f"{at}.pin_diameter": text})


#: What to ask for where no change of the build mends a check.
ASKS = {"shafts.crank-bending": maker_asked, "shafts.crank": maker_asked}

PROPOSALS = carried(
    {
        "shafts.spline": _flanks,
        "shafts.spline_wear": _new_spline,
        "shafts.spline_turns": turned_round,
        "shafts.strength": _strength,
        "shafts.yield": _strength,
        "shafts.slope": _stiffer(SLOPE),
        "shafts.whirl": _stiffer(WHIRL),
        "shafts.joint": _joint,
        "shafts.weld_steel": _weld,
        "shafts.spline_speed": _spline_speed,
        "shafts.crank": _crank,
        "shafts.crank-bending": _crank,
        "shafts.outboard": _outboard,
        "shafts.pin": _pin,
        "shafts.assembly": assembly.cures,
        "shafts.key": _key,
        "shafts.key-width": key_size.usual,
        "shafts.key-height": key_size.usual,
    }
)
