"""What to buy and to cut for a build, in the words of the counter; what is not known well enough stands apart."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.mechanics.keys import usual_height_si
from jackshaft.mechanics.shaft_rules import bar_for
from jackshaft.parts.belt_stage import belts_of, section_row
from jackshaft.record.buying_circuit import circuit, clutch
from jackshaft.record.buying_guards import guards
from jackshaft.record.wants import Counter, Want
from jackshaft.results import Results
from jackshaft.results.values import TAPE, Number
from jackshaft.units import OutOfRange, show

#: Over the columns of :func:`rows`.
HEADS = ("part", "ask for", "how many", "may be put in its place", "spares", "how known")
HELD_HEADS = ("part", "as far as it is known", "what is wanted first")
#: Reasons of one line that are shown on the page.
SHOWN = 3
#: Left on each end of a bar to be faced off, and what the saw takes; m: common practice, no source.
FACING, KERF = 2e-3, 3e-3
#: Pins in the box for one in the machine: common practice, no source.
SPARE_PINS = 5


def buying(results: Results) -> list[Want]:
    """Return what to buy, in the order of the torque's way: stages, guards, shafts, bearings, clutch, circuit."""
    at = Counter(results)
    found = []
    for lines in (_stages, guards, _shafts, _bearings, _pin, _slip_clutch, _driveline, clutch, circuit):
        found += lines(at)
    return _together(found)


def _together(found: list[Want]) -> list[Want]:
    """Return the lines with those that ask for the same put into one."""
    same: dict[tuple, Want] = {}
    for want in found:
        alike = want._replace(part="", count=0)
        there = same.get(alike)
        same[alike] = (
            want if there is None else there._replace(part=f"{there.part}; {want.part}", count=there.count + want.count)
        )
    return list(same.values())


def held_rows(wants: list[Want]) -> list[tuple[str, ...]]:
    """Return the lines that wait as rows of a table, under ``HELD_HEADS``; the first reasons, and how many more."""
    found = []
    for w in wants:
        if w.hold:
            more = len(w.hold) - SHOWN
            rest = (f"And {more} more.",) if more > 0 else ()
            found.append((w.part, w.ask, " ".join((*w.hold[:SHOWN], *rest))))
    return found


def rows(wants: list[Want]) -> list[tuple[str, ...]]:
    """Return the lines that can be bought as rows of a table, under ``HEADS``."""
    return [(w.part, w.ask, str(w.count), w.instead, w.spares, w.known) for w in wants if not w.hold]


def buying_data(results: Results) -> list[dict]:
    """Return the list as plain data; ``hold`` says why a line is not to be bought yet."""
    return [w._asdict() | {"hold": list(w.hold)} for w in buying(results)]


def _stages(at: Counter) -> Iterator[Want]:
    kinds = {"belt": _belt_drive, "roller chain": _chain_drive}
    for name in at.reader.names("stage"):
        kind = at.reader.get(f"stage[{name}].kind")
        if kind in kinds:
            yield from kinds[kind](at, name)
        elif kind == "gearbox":
            ask = at.words(f"stage[{name}].ratio", "gearbox, ratio {}") + at.words(
                f"stage[{name}].rating", ", rated {}"
            )
            yield at.want(name, ask, instead="any of the same ratio, direction and rating, or a higher rating")
        elif kind == "gear":
            teeth = [at.words(f"stage[{name}].{end}_teeth") for end in ("driver", "driven")]
            at.wait("The build does not hold the pitch of the teeth: read it from a gear, or measure it.")
            yield at.want(name, f"gears, {' and '.join(filter(None, teeth)) or 'teeth not known'} teeth")


def _belt_drive(at: Counter, name: str) -> Iterator[Want]:
    here = f"stage[{name}]"
    section = at.words(f"{here}.section", "section {}")
    loose, grooved = at.reader.get(f"{here}.belts") or 1, belts_of(at.reader, here)
    row, kind = section_row(at.reader, here), "V-belt"
    if row is not None and row["family"] == "V-ribbed":
        # what is counted side by side are the ribs of one belt
        loose, kind = 1, f"V-ribbed belt, {grooved} ribs,"
    if at.reader.get(f"{here}.marked"):
        ask = at.words(f"{here}.marked", f"{kind} marked {{}}") + (f", {section}" if section else "")
    else:
        measured = at.words(f"{here}.length_is", ", {} length", without=", say at which line it was measured")
        ask = f"{kind} {section}, {at.words(f'{here}.length') or 'length not known'}{measured}"
    at.judge(("layout.", "grip.", "capacity."), name)
    yield at.want(
        f"{name}: belts",
        ask.replace("  ", " "),
        loose,
        instead="same marking, any make; no light-duty belt",
        spares="one set, changed together" if loose > 1 else "one belt",
    )
    for pulley in at.reader.names(f"{here}.pulley"):
        yield from _pulley(at, name, pulley, section, grooved)
    if at.reader.get(f"{here}.takeup.kind") == "sprung idler":
        ask = at.words(f"{here}.takeup.spring_rate", "extension spring, {}")
        ask += at.words(f"{here}.takeup.spring_free_length", ", {} long free")
        ask += at.words(f"{here}.takeup.spring_initial", ", {} initial pull")
        at.judge(("layout.take-up", "grip.spring"), name)
        yield at.want(
            f"{name}: spring",
            ask or "extension spring",
            instead="same rate and initial pull",
        )


def _pulley(at: Counter, stage: str, pulley: str, section: str, grooved: int) -> Iterator[Want]:
    here = f"stage[{stage}].pulley[{pulley}]"
    flat = at.reader.get(f"{here}.surface") == "flat"
    shaft = _shaft_of(at, stage, pulley)
    if shaft is not None and shaft == at.reader.get("clutch.shaft") and at.reader.get("clutch.pulley_built_in"):
        return  # it comes with the clutch
    face = "flat pulley" if flat else f"pulley, {grooved} groove{'s' if grooved > 1 else ''} {section}".rstrip()
    size = at.words(f"{here}.diameter", ", {}") + at.words(f"{here}.measured_as", " {} diameter")
    ask = face + size + at.words(f"{here}.material", ", {}", without="")
    if shaft is None:
        ask += at.words(f"{here}.pin_diameter", ", to turn on a pin of {}")
        count = at.reader.get(f"{here}.bearings") or 1
        ask += at.words(f"{here}.bearing", f", with {count} × bearing {{}}")
        at.judge(("bearings.idler", "shafts.pin"), f"{stage}: {pulley}")
    else:
        ask += _bore(at, shaft, stage)
        at.judge(("ratio.speed",))
    if not flat:
        at.judge(("layout.pulley-size",), stage)
    other = "same face and diameter" + ("" if shaft is None else "; a bushed hub of the same bore")
    yield at.want(f"{stage}: pulley {pulley}", ask, instead=other)


def _shaft_of(at: Counter, stage: str, pulley: str) -> str | None:
    """Return the shaft that a pulley is fixed to, None for an idler."""
    here = f"stage[{stage}]"
    if pulley == at.reader.get(f"{here}.driver"):
        return at.reader.get(f"{here}.from")
    drives = at.reader.get(f"{here}.pulley[{pulley}].drives")
    return drives or (at.reader.get(f"{here}.to") if pulley == at.reader.get(f"{here}.driven") else None)


def _bore(at: Counter, shaft: str, stage: str) -> str:
    """Return the bore of a hub on a shaft, and what holds it; the line is held where that is not known."""
    if shaft == at.reader.get("clutch.shaft") and at.reader.get("clutch.kind") == "electromagnetic":
        at.wait("It sits on the clutch. Measure the clutch's hub for its bore or its bolts.")
        return ""
    if shaft == "engine":
        key = at.words("engine.key_width", ", key {} wide", without="")
        return at.words("engine.shaft_diameter", ", bore {}") + key
    loads = [
        n for n in at.reader.names(f"shaft[{shaft}].load") if at.reader.get(f"shaft[{shaft}].load[{n}].stage") == stage
    ]
    place = at.reader.si(f"shaft[{shaft}].load[{loads[0]}].position") if loads else None
    size = _diameter_key(at, shaft, place)
    if size is None:
        at.wait(f"Not known yet: the diameter of the shaft '{shaft}' where it sits.")
        return ""
    return at.words(size, ", bore {}") + _held_by(at, shaft, stage, place)


def _diameter_key(at: Counter, shaft: str, place: float | None) -> str | None:
    """Return the key of the diameter at a place along a shaft, None where it is not known."""
    steps = at.reader.names(f"shaft[{shaft}].step")
    if not steps:
        return f"shaft[{shaft}].diameter"
    for step in steps:
        here = f"shaft[{shaft}].step[{step}]"
        start, end = at.reader.si(f"{here}.start"), at.reader.si(f"{here}.end")
        if None not in (place, start, end) and start <= place < end:
            return f"{here}.diameter"
    return None


def _held_by(at: Counter, shaft: str, stage: str, place: float | None) -> str:
    """Return what a hub is held by on its shaft, led by a comma; the line waits where the build does not say."""
    for joint in at.reader.names(f"shaft[{shaft}].joint"):
        here = f"shaft[{shaft}].joint[{joint}]"
        where = at.reader.si(f"{here}.position")
        on_it = at.reader.get(f"{here}.stage") == stage or (
            where is not None and place is not None and abs(where - place) < 1e-6
        )
        if on_it:
            kind = at.words(f"{here}.kind")
            wide = at.words(f"{here}.width", " {} wide", without="") if kind == "parallel key" else ""
            return f", held by {kind}{wide}"
    at.wait(f"Not known yet: what holds it on the shaft '{shaft}'.")
    return ""


def _chain_drive(at: Counter, name: str) -> Iterator[Want]:
    here = f"stage[{name}]"
    strands = at.reader.get(f"{here}.strands") or 1
    size = at.words(f"{here}.chain", "number {}")
    many = "" if strands == 1 else f", {strands} strands"
    links = at.words(f"{here}.links", ", {} links in all")
    link = at.words(f"{here}.connecting_link", ", {} connecting link counted in")
    at.judge(("roller-chain.",), name)
    yield at.want(
        f"{name}: chain",
        f"roller chain {size}{many}{links}{link}",
        instead="same number, any make; none second-hand",
        spares="one connecting link",
    )
    for end, way in (("driver", "from"), ("driven", "to")):
        shaft = at.reader.get(f"{here}.{way}")
        teeth = at.words(f"{here}.{end}_teeth", "sprocket, {} teeth")
        ask = f"{teeth or 'sprocket'}, chain {at.words(f'{here}.chain')}{many}"
        ask += _bore(at, shaft, name) if shaft else ""
        at.judge(("roller-chain.teeth", "roller-chain.wear"), name)
        at.judge(("ratio.speed",))
        yield at.want(f"{name}: sprocket on {shaft}", ask, instead="a bushed hub of the same bore")


def _shafts(at: Counter) -> Iterator[Want]:
    for name in at.reader.names("shaft"):
        yield _bar(at, name)
        for joint in at.reader.names(f"shaft[{name}].joint"):
            yield from _joint(at, name, joint)
    if at.reader.get("engine.key_width"):
        ask = at.words("engine.key_width", f"key steel, {{}}{_height(at, 'engine.key_width')}")
        ask += at.words("engine.key_length", ", {} long")
        yield at.want("engine: key", ask, spares="one key")


def _height(at: Counter, width: str) -> str:
    """Return the height that keys of a width have by the standard, where nobody wrote one down."""
    wide = at.reader.si(width)
    high = None if wide is None else usual_height_si(wide)
    if high is None or abs(high - wide) < 1e-6:
        return " square"
    return f" × {high * 1e3:g} mm"


def _bar(at: Counter, name: str) -> Want:
    here, system = f"shaft[{name}]", at.system
    steps = [f"{here}.step[{s}]" for s in at.reader.names(f"{here}.step")]
    steel = at.words(f"{here}.material", "{}") or "steel not known"
    sizes = [at.words(f"{s}.diameter") and at.reader.si(f"{s}.diameter") for s in steps]
    ends = [[at.reader.si(f"{s}.{e}") for s in steps] for e in ("start", "end")]
    at.judge(("shafts.strength", "shafts.yield", "shafts.slope", "shafts.whirl"), name)
    if not steps:
        size = at.words(f"{here}.diameter", "{}")
        at.wait("Not known yet: its length from end to end. Measure it, or write down its steps.")
        return at.want(f"{name}: bar", f"round bar, {steel}, {size or 'diameter not known'}", instead=_OTHER_STEEL)
    lengths = [x for end in ends for x in end]
    if None in lengths or None in sizes or "" in sizes:
        at.wait("Not known yet: a step's diameter or ends.")
        return at.want(f"{name}: bar", f"round bar, {steel}", instead=_OTHER_STEEL)
    long = max(lengths) - min(lengths)
    sold = _as_sold(at, max(sizes), system)
    cut = Number(long + 2 * FACING + KERF, "length", system, form=TAPE)
    done = show(long, "length", system)
    ask = f"round bar, {steel}, {sold}, {cut} long: {done} finished, with both ends to face and the saw's cut"
    return at.want(f"{name}: bar", ask, instead=_OTHER_STEEL)


_OTHER_STEEL = "steel of no less yield and tensile"


def _as_sold(at: Counter, finished: float, system: str) -> str:
    try:
        size = bar_for.si(finished, system=system)
    except OutOfRange as error:
        at.wait(f"{str(error)[0].upper()}{str(error)[1:]}.")
        return "diameter as a forge sells it"
    return Number(size, "length", system, form=TAPE).shown if system == "inch" else f"{size * 1e3:g} mm"


def _joint(at: Counter, shaft: str, joint: str) -> Iterator[Want]:
    here = f"shaft[{shaft}].joint[{joint}]"
    kind = at.reader.get(f"{here}.kind")
    part = f"{shaft}: {joint}"
    if kind == "parallel key":
        height = at.words(f"{here}.height", " × {}", without=_height(at, f"{here}.width"))
        ask = at.words(f"{here}.width", "key steel, {}") + height + at.words(f"{here}.length", ", {} long")
        at.judge(("shafts.joint",), joint)
        yield at.want(part, ask, instead="bar of the same section", spares="one key")
    elif kind == "taper bush":
        size = _diameter_key(at, shaft, at.reader.si(f"{here}.position"))
        bore = None if size is None else at.words(size, ", bore {}")
        if bore is None:
            at.wait(f"Not known yet: the diameter of the shaft '{shaft}' where it sits.")
        at.judge(("shafts.joint",), joint)
        yield at.want(part, f"taper bush, number as on its hub{bore or ''}", instead="same number and bore, any make")
    elif kind in ("set screws", "flange", "split hub"):
        screws = int(at.reader.get(f"{here}.count") or 1)
        if kind == "set screws":
            ask = at.words(f"{here}.screw", "set screw {}, hardened cup point")
        else:
            ask = at.words(f"{here}.bolt", "bolt {}") + at.words(f"{here}.grade", ", grade {}", without="")
        at.judge(("shafts.joint",), joint)
        yield at.want(part, ask or kind, screws, instead="same thread and grade, or a higher grade", spares="one set")


def _bearings(at: Counter) -> Iterator[Want]:
    found = getattr(at.results.chapters.get("bearings"), "data", None)
    cards, identity = (found.cards, found.identity) if found else ({}, {})
    for name in at.reader.names("bearing"):
        here, card, mine = f"bearing[{name}]", cards.get(name), identity.get(name)
        size = mine.size if mine else None
        if size is None:
            at.wait("Which bearing it is is not known yet. Measure bore, outside and width, or read its marking.")
            ask = "bearing, size not known"
        else:
            ask = f"bearing {card.ask}{card.with_it}" if hasattr(card, "ask") else f"bearing {size.designation}"
        if mine and len(mine.rivals) > 1:
            others = ", ".join(s.designation for s in mine.rivals if s != size)
            at.wait(f"The readings leave other sizes open: {others}.")
        for key in ("bore", "outside", "width"):  # how these are known is how the size is known
            at.words(f"{here}.{key}", without="")
        at.by(f"{here}.measured_with")
        if f"in a {at.reader.get(f'{here}.housing')}" not in ask:
            ask += at.words(f"{here}.housing", ", in a {} housing", without="")
        ask += at.words(f"{here}.locking", ", held by {}", without="")
        at.judge(("bearings.identity", "bearings.life", "bearings.static", "bearings.speed"), name)
        yield at.want(f"bearing {name}", ask, instead="same number, any make; look at play and seals")


def _pin(at: Counter) -> Iterator[Want]:
    if not at.reader.has("shear_pin"):
        return
    ask = at.words("shear_pin.diameter", "shear pin, {} thick")
    ask += at.words("shear_pin.shear_strength", ", of a steel that shears at {}")
    at.judge(("chain.weak-link",))
    yield at.want("shear pin", ask, instead="nothing stronger, and no hardened bolt", spares=f"{SPARE_PINS} pins")


def _slip_clutch(at: Counter) -> Iterator[Want]:
    if not at.reader.has("slip_clutch"):
        return
    ask = at.words("slip_clutch.torque", "slip clutch, set to {}") or "slip clutch"
    ask += at.words("slip_clutch.outer_diameter", ", linings {} outside") + at.words("slip_clutch.facing", ", {}")
    at.judge(("chain.weak-link",))
    yield at.want("slip clutch", ask, instead="another make that can be set to this torque", spares="1 set of linings")


def _driveline(at: Counter) -> Iterator[Want]:
    if not at.reader.has("driveline"):
        return
    ask = at.words("driveline.collapsed", "telescoping shaft, {} joint to joint pushed together")
    ask += at.words("driveline.tube", ", tube {}") + at.words("driveline.joint_rating", ", joints rated {}")
    at.judge(("driveline.overlap", "driveline.room", "driveline.whirl", "driveline.middle"))
    yield at.want(
        "telescoping shaft",
        f"{ask or 'telescoping shaft'}, with its guard and chains",
        instead="a longer one, cut as its maker says",
    )


__all__ = ["FACING", "HEADS", "HELD_HEADS", "KERF", "buying", "buying_data", "held_rows", "rows"]
