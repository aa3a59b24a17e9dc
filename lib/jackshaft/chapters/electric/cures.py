"""What may mend the clutch circuit: larger wire, loads on a wire of their own, fuse, relay, switch, suppression."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import islice, product

from jackshaft import tables
from jackshaft.chapters.electric import suppression
from jackshaft.chapters.electric.contacts import contact_amps, has_relay, relay_amps, warm_share
from jackshaft.chapters.electric.supply import nominal_of
from jackshaft.chapters.electric.wire import LOWEST_CLASS, ampacity_of
from jackshaft.chapters.electric.words import fuse_place, sizes_of
from jackshaft.mechanics import coil, fuses
from jackshaft.results.checks import STOP
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing

#: Sizes of wire that are tried above the first that may do.
SIZES = 5
#: Ratings (A) that relays and switches are sold with: common practice, no source.
RELAYS, SWITCHES = (20.0, 30.0, 40.0, 60.0), (2.0, 5.0, 10.0, 15.0, 20.0, 30.0)

Changes = Mapping[str, str]


def wires(failing: Failing, least: float = 0.0) -> Iterator[tuple[str, Changes, float]]:
    """Yield the sizes above the present one as sold: words, changes and copper area (m²), from ``least`` upward."""
    reader = failing.reader
    now, (system, unit) = reader.si("circuit.wire"), sizes_of(reader)
    if now is None:
        return
    rows = sorted(tables.table("wire").where(system=system).rows, key=lambda r: r["area_mm2"])
    # single wire below 16 AWG or 1 mm² breaks by vibration, and odd gauges are rarely sold
    sold = [r for r in rows if r["area_mm2"] >= 0.99 and (system == "mm2" or _even(r["size"]))]
    fitting = [r for r in sold if r["area_mm2"] * 1e-6 > max(1.01 * now, 0.99 * least)]
    for row in islice(fitting, SIZES):
        text = f"{row['size']} {unit}"
        yield f"Use {text} wire.", {"circuit.wire": text}, row["area_mm2"] * 1e-6


def _even(size: str) -> bool:
    return size.isdigit() and int(size) % 2 == 0


def own_wire(failing: Failing) -> tuple[str, Changes] | None:
    """Return the change that takes every other load off the clutch's wire, None where there is none."""
    reader = failing.reader
    names = [n for n in reader.names("circuit.load") if reader.get(f"circuit.load[{n}].same_wire")]
    if not names:
        return None
    words = f"Feed {' and '.join(names)} by a wire and a fuse of their own."
    return words, {f"circuit.load[{n}].same_wire": "no" for n in names}


def fuse_change(failing: Failing, area: float, load: float, most: int = 3) -> Iterator[tuple[str, Changes]]:
    """Yield the blade fuses that carry a load (A) and protect wire of a copper area (m²)."""
    reader = failing.reader
    if load <= 0.0:
        return
    lying = ampacity_of(reader, area, reader.si("circuit.insulation", LOWEST_CLASS))
    window = fuses.choose_fuse.si(load, ampacity=lying.amps)
    ratings = sorted(r["rating_a"] for r in tables.table("fuse_ratings").where(style="blade").rows)
    start = window.least if window.rating is None else window.rating
    fitting = [r for r in ratings if start * (1 - 1e-9) <= r <= lying.amps * (1 + 1e-9)]
    for rating in fitting[:most]:
        yield (
            f"Fit a {rating:g} A blade fuse {fuse_place(reader)}.",
            {"circuit.fuse": f"{rating:g} A", "circuit.fuse_kind": "blade"},
        )


def joined(*parts: tuple[str, Changes]) -> Proposal:
    """Return one proposal of several changes."""
    return Proposal(orders(*(p[0] for p in parts)), {k: v for p in parts for k, v in p[1].items()})


def misfit(failing: Failing) -> bool:
    """Tell whether the coil is not made for this supply: then neither wire nor fuse nor plate is the cure."""
    data = failing.data("electric")
    if data is not None and data.burns:
        return True
    return any(c.id == "electric.coil" and c.verdict == STOP for c in failing.results.checks)


def _area_now(failing: Failing) -> float | None:
    data = failing.data("electric")
    return failing.reader.si("circuit.wire") if data is None else data.line.size.area


def _load(failing: Failing, alone: bool = False) -> float:
    """Return the most that coil and loads draw with no wire counted (A); ``alone`` leaves the loads out."""
    reader = failing.reader
    if not alone:
        return contact_amps(reader, None) or 0.0
    r20 = reader.si("clutch.coil_resistance")
    supplies = [reader.si(f"circuit.{k}_voltage") or 0.0 for k in ("running", "battery")]
    return max(supplies) / r20 if r20 else 0.0


def more_copper(failing: Failing, least: float = 0.0) -> Iterator[Proposal]:
    """Yield larger wire, other loads taken off it, and both together, cheapest first."""
    if misfit(failing):
        return
    off = own_wire(failing)
    if off is not None:
        yield Proposal(*off)
    for words, changes, _ in wires(failing, least):
        yield Proposal(words, changes)
    if off is not None:
        for words, changes, _ in wires(failing):
            yield joined((words, changes), off)


def _all_together(failing: Failing) -> Iterator[Proposal]:
    """Yield larger wire with a fuse that protects it, the other loads taken off."""
    off = own_wire(failing)
    for words, changes, area in wires(failing):
        for fuse in fuse_change(failing, area, _load(failing, alone=off is not None), 1):
            yield joined((words, changes), *(() if off is None else (off,)), fuse)


def _fuse(failing: Failing) -> Iterator[Proposal]:
    """Yield a fuse for this wire, with the other loads off it, and with larger wire where no fuse fits this one."""
    area, off = _area_now(failing), own_wire(failing)
    if area is None or misfit(failing):
        return
    fitting = list(fuse_change(failing, area, _load(failing)))
    for fuse in fitting:
        yield Proposal(*fuse)
    if off is not None:
        for fuse in fuse_change(failing, area, _load(failing, alone=True), 2):
            yield joined(fuse, off)
    if not fitting:
        yield from _with_wire(failing)


def _with_wire(failing: Failing) -> Iterator[Proposal]:
    for words, changes, larger in wires(failing):
        for fuse in fuse_change(failing, larger, _load(failing), 1):
            yield joined(fuse, (words, changes))
    yield from _all_together(failing)


def _short(failing: Failing) -> Iterator[Proposal]:
    yield from _fuse(failing)
    if misfit(failing):
        return
    for words, changes, _ in wires(failing):
        yield Proposal(words, changes)
    yield from _with_wire(failing)


def relay_change(failing: Failing) -> tuple[str, Changes] | None:
    """Return a relay that carries what the switch has to break, with suppression where there is none."""
    reader = failing.reader
    nominal, amps = nominal_of(reader), _load(failing)
    if nominal is None or not amps:
        return None
    share = warm_share() if reader.get("circuit.engine_space") else 1.0
    rating = next((r for r in RELAYS if r * share >= amps), None)
    if rating is None:
        return None
    words = f"Fit a relay with a {nominal:g} V coil and a {rating:g} A contact"
    changes = {
        "circuit.relay": "yes",
        "circuit.relay_voltage": f"{nominal:g} V",
        "circuit.relay_rating": f"{rating:g} A",
    }
    if not suppression.tames(reader, failing.data("electric")):
        words += ". Put a diode across the clutch's coil, its band to the positive side"
        changes["circuit.suppression"] = "diode"
    return f"{words}.", changes


def switch_change(failing: Failing, relayed: bool) -> tuple[str, Changes] | None:
    """Return a switch that is rated for what this one has to break, a relay's coil where there is or will be one."""
    reader = failing.reader
    nominal = nominal_of(reader)
    amps = None if nominal is None else relay_amps(reader) if relayed else _load(failing)
    rating = next((r for r in SWITCHES if r >= amps), None)
    if nominal is None or not amps or rating is None:
        return None
    marking = f"{rating:g} A {nominal:g} V DC inductive"
    words = f"Fit a switch marked {rating:g} A at {nominal:g} V direct current or more, with a coil behind it."
    return words, {
        "circuit.switch_marking": marking,
        "circuit.switch_rated_for": "DC inductive",
        "circuit.switch_rating": f"{rating:g} A",
        "circuit.switch_voltage": f"{nominal:g} V",
    }


def _switch(failing: Failing) -> Iterator[Proposal]:
    there = has_relay(failing.reader)
    relay, switch = None if there else relay_change(failing), switch_change(failing, bool(there))
    if relay is not None:
        yield Proposal(*relay)
    if switch is not None:
        yield Proposal(*switch)
    small = switch_change(failing, relayed=True)
    if relay is not None and small is not None:
        # a switch without a rating for direct current is no more than bearable behind a relay
        yield Proposal(f"{relay[0]} {small[0]}", relay[1] | small[1])


def _relay_coil(failing: Failing) -> Iterator[Proposal]:
    nominal = nominal_of(failing.reader)
    if nominal is not None:
        yield Proposal(f"Fit a relay with a {nominal:g} V coil.", {"circuit.relay_voltage": f"{nominal:g} V"})


def _relay_contact(failing: Failing) -> Iterator[Proposal]:
    reader, off = failing.reader, own_wire(failing)
    if not suppression.tames(reader, failing.data("electric")):
        yield from _suppression(failing)
    nominal, rated = nominal_of(reader), reader.si("circuit.relay_rating") or 0.0
    coil = reader.si("circuit.relay_voltage")
    low = nominal is not None and coil is not None and nominal > coil
    for rating in RELAYS:
        contact = {"circuit.relay_rating": f"{rating:g} A"}
        if low and rating >= rated:
            contact |= {"circuit.relay_voltage": f"{nominal:g} V"}
            yield Proposal(f"Fit a {nominal:g} V relay with a {rating:g} A contact.", contact)
        elif rating > rated:
            yield Proposal(f"Fit a relay with a {rating:g} A contact.", contact)
    if off is not None:
        yield Proposal(*off)


def _suppression(failing: Failing) -> Iterator[Proposal]:
    """Yield a diode, a zener with it, a TVS and a resistor, of sizes as sold."""
    reader, key = failing.reader, "circuit.suppression"
    diode = "Put a diode across the clutch's coil"
    yield Proposal(f"{diode}, its band to the positive side.", {key: "diode"})
    volts = suppression.clamp_size(reader)
    if volts is not None:
        clamp = {"circuit.clamp_voltage": f"{volts:g} V"}
        yield Proposal(
            f"{diode}, its band to the positive side, with a {volts:g} V zener in series the other way round.",
            {key: "diode and zener"} | clamp,
        )
        yield Proposal(f"Put a two-way TVS of {volts:g} V across the clutch's coil.", {key: "TVS"} | clamp)
    size = suppression.resistor_size(reader)
    if size is not None:
        ohm, watts = size
        yield Proposal(
            f"Put a resistor of {ohm:g} ohm and {watts:g} W across the clutch's coil.",
            {
                key: "resistor",
                "circuit.suppression_resistor": f"{ohm:g} ohm",
                "circuit.suppression_power": f"{watts:g} W",
            },
        )


def _interlocks(failing: Failing) -> Iterator[Proposal]:
    reader = failing.reader
    names = [n for n in reader.names("circuit.interlock") if reader.get(f"circuit.interlock[{n}].bridged")]
    if names:
        yield Proposal(
            f"Take the bridge off the switch of {' and '.join(names)}. Put the switch's own wires back.",
            {f"circuit.interlock[{n}].bridged": "no" for n in names},
        )


def _return(failing: Failing) -> Iterator[Proposal]:
    out = failing.reader.get("circuit.length_out")
    if out is not None:
        text = failing.up(out.si, "length", "1 ft", "0.1 m")
        yield Proposal(
            f"Run a wire of {text} from the coil back to the battery's negative post.",
            {"circuit.return_by": "wire", "circuit.length_back": text},
            clears=True,
        )
    strap = "Put a strap from the coil to clean metal of the frame, and from there to the battery's negative post."
    yield Proposal(strap, {"circuit.return_by": "chassis"}, clears=True)


def _charging(failing: Failing) -> Iterator[Proposal]:
    """Yield other loads switched off while the clutch is engaged: one, two, then all of them."""
    reader = failing.reader
    names = [n for n in reader.names("circuit.load") if not reader.get(f"circuit.load[{n}].off_engaged")]
    sets = [(n,) for n in names] + [(a, b) for a, b in product(names, names) if a < b] + [tuple(names)]
    for some in islice(dict.fromkeys(s for s in sets if s), 12):
        yield Proposal(
            f"Switch {' and '.join(some)} off while the clutch is engaged.",
            {f"circuit.load[{n}].off_engaged": "yes" for n in some},
        )


def _coil_asked(failing: Failing) -> str:
    """Return the resistances of the coils that are wound for the supply, to ask for once the reading is sure."""
    nominal = nominal_of(failing.reader)
    if nominal is None:
        return ""
    low, high = (failing.reader.show(nominal**2 / watts, "resistance") for watts in reversed(coil.COIL_WATTS))
    return (
        f"If the resistance is read rightly, ask for a clutch with a coil for {nominal:g} V: it reads {low} to {high}."
    )


#: What to ask for where no change of the build mends a check.
ASKS = {"electric.coil": _coil_asked}

#: Checks that no change of the build mends, and why.
NO_CHANGE = {
    "electric.coil-reading": "A reading is as good as its meter; it is taken again, not changed.",
    "electric.supply": "What a battery shows is read, not chosen.",
}

PROPOSALS = {
    "electric.ampacity": more_copper,
    "electric.charging": _charging,
    "electric.charging-idle": _charging,
    "electric.drop": more_copper,
    "electric.fuse": _fuse,
    "electric.interlocks": _interlocks,
    "electric.relay-coil": _relay_coil,
    "electric.relay-contact": _relay_contact,
    "electric.return": _return,
    "electric.short": _short,
    "electric.suppression": _suppression,
    "electric.switch": _switch,
    "electric.voltage": more_copper,
}
