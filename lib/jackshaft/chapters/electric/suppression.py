"""What takes up the coil's energy at switch-off: what it does to the contact, to the supply, and to the release."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.electric.supply import highest_supply, nominal_of
from jackshaft.chapters.electric.words import unless_go
from jackshaft.mechanics import switching
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.units import at_least, at_most

#: Most volts across the coil at switch-off, over the system's: a resistor of about ten times the coil; common practice.
MOST_KICK = 10.0
#: Above this (V) air breaks down across any gap: its least breakdown voltage is 327 V, from memory.
AIR_GAP = 300.0
#: Clamp voltage over the highest supply at which a TVS surely rests: spread of part and regulator, common practice.
TVS_ROOM = 1.25
#: Share of its rating that a resistor may turn into heat for long, in warm air: common practice, no source.
RESISTOR_SHARE = 0.5
#: Resistor over the coil's resistance, as fitted; ratings (W) that power resistors are sold with: common practice.
USUAL_RESISTOR, POWERS = 6.0, (1.0, 2.0, 3.0, 5.0, 10.0, 25.0, 50.0, 100.0)
ID, NAME = "electric.suppression", "what takes up the coil's energy"
SLOW = "A plain diode is the gentlest, and the clutch lets go slowest with it"
POLARITY = "The diode's band goes to the positive side of the coil: the wrong way round it is a short."


class Judged(NamedTuple):
    """The verdict on the suppression, None where ``missing`` names what it waits for; ``tames`` is its kick small."""

    verdict: str | None
    found: Value
    reason: str
    tames: bool | None
    missing: tuple[str, ...] = ()


def coil_amps(reader: Reader, data) -> float | None:
    """Return the largest current of the coil (A) when its contact opens."""
    if data is not None:
        return float(max(data.steps.coil_amps))
    r20, supply = reader.si("clutch.coil_resistance"), highest_supply(reader)
    return None if r20 is None or supply is None else supply / r20


def preferred(series: int) -> Iterator[float]:
    """Yield the preferred numbers of the series E12 or E24 (IEC 60063, from memory), from 1 upward."""
    steps = (1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0)
    steps += (3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1)
    for decade in range(4):
        yield from (round(s * 10**decade, 6) for s in steps[:: 24 // series])


def tames(reader: Reader, data=None) -> bool | None:
    """Tell whether a contact may break the resistive figure; None where the suppression is not known well enough."""
    return judged(reader, data).tames


def judged(reader: Reader, data) -> Judged:
    """Judge the suppression of a build; a size beside it that it does not have is asked about, and judged too."""
    kind = reader.get("circuit.suppression")
    found, beside = _judged(reader, data, kind), _beside(reader, kind)
    if beside and kind == "diode" and reader.si("circuit.clamp_voltage") is not None and found.verdict is not None:
        other = _judged(reader, data, "diode and zener")
        found = max(found, other, key=lambda f: ORDER.index(f.verdict or GO))
    return found._replace(reason=found.reason + beside)


def _beside(reader: Reader, kind: str | None) -> str:
    """Return in words what is written down beside a suppression that does not have it; nothing where all fits."""
    clamp, ohm = reader.si("circuit.clamp_voltage"), reader.si("circuit.suppression_resistor")
    odd = []
    if clamp is not None and kind not in (None, "TVS", "diode and zener"):
        odd.append(f"a zener or TVS of {reader.show(clamp, 'voltage')}")
    if ohm is not None and kind not in (None, "resistor"):
        odd.append(f"a resistor of {reader.show(ohm, 'resistance')}")
    return f" Beside '{kind}' {' and '.join(odd)} is written down: say what there is across the coil." if odd else ""


def _judged(reader: Reader, data, kind: str | None) -> Judged:
    """Judge one kind of suppression."""
    if kind is None:
        words = "Without suppression the contact takes the coil's energy as an arc at every release."
        return Judged(None, "", words, False, ("circuit.suppression",))
    if kind == "none":
        kick = tables.table("circuit_facts").one(part="relay", item="kick of an unclamped coil")["high"]
        words = f"An unclamped coil kicks to hundreds of volts (a relay's to {kick:.0f} V) and burns the contact."
        return Judged(CAUTION, kind, words, False)
    supply, amps = highest_supply(reader), coil_amps(reader, data)
    if kind == "diode" and (supply is None or amps is None):
        return Judged(GO, kind, f"The coil's energy goes into it. {SLOW}. {POLARITY}", True)
    needed = ("circuit.suppression_resistor" if kind == "resistor" else "circuit.clamp_voltage",)
    needed += ("clutch.coil_resistance",) if kind == "resistor" else ()
    missing = tuple(k for k in needed if kind != "diode" and reader.si(k) is None)
    if supply is None:
        missing += ("circuit.running_voltage",)
    if missing:
        words = f"What a {kind} across the coil does depends on its size and on the circuit."
        return Judged(None, kind, words, None, missing)
    return _sized(reader, kind, supply, amps)


def _sized(reader: Reader, kind: str, supply: float, amps: float | None) -> Judged:
    """Judge a suppression whose size is known."""
    clamp, ohm = reader.si("circuit.clamp_voltage"), reader.si("circuit.suppression_resistor")
    fitted = switching.Fitted(clamp, ohm)
    if kind == "TVS" and at_most(clamp, supply):
        words = f"It conducts at {reader.show(clamp, 'voltage')}, and the supply reaches "
        words += f"{reader.show(supply, 'voltage')}: it is a short across the coil, burns or blows the fuse."
        return Judged(STOP, reader.number(clamp, "voltage", "TVS of {}"), words, False)
    coil = {"diode": fitted.diode, "TVS": clamp}.get(kind)
    if coil is None:
        coil = amps * ohm if kind == "resistor" else fitted.diode + clamp
    peak = supply + coil
    most, why = _most(reader, supply, peak)
    found = reader.number(peak, "voltage", f"{kind}, {{}} at the contact")
    if not at_most(peak, most):
        words = f"At switch-off the contact would get {reader.show(peak, 'voltage')}; {why}. "
        words += "It arcs and burns nearly as without suppression."
        rated = reader.si("circuit.contact_peak") is not None
        return Judged(STOP if rated else CAUTION, found, words, False)
    tail = _release(reader, kind, amps, fitted)
    if kind == "resistor":
        return _resistor(reader, supply, ohm, found, tail)
    if kind == "TVS" and not at_least(clamp, TVS_ROOM * supply):
        words = f"It clamps at {reader.show(clamp, 'voltage')}, close above a supply that reaches "
        words += f"{reader.show(supply, 'voltage')}: parts differ by a tenth, and one that leaks gets hot."
        return Judged(CAUTION, found, words, True)
    return Judged(GO, found, f"The coil's energy goes into it. {tail}".strip(), True)


def _most(reader: Reader, supply: float, peak: float) -> tuple[float, str]:
    """Return the most volts (V) that the opening contact may get, and why; ``peak`` is what it gets."""
    rated = reader.si("circuit.contact_peak")
    if rated is not None:
        return rated, f"it takes {reader.show(rated, 'voltage')}"
    nominal = nominal_of(reader)
    usual = min(MOST_KICK * nominal + supply, AIR_GAP)
    if peak > AIR_GAP:
        return usual, f"from about {AIR_GAP:.0f} V air breaks down across any gap"
    return usual, f"across a {nominal:g} V coil no more than {MOST_KICK:g} times its voltage is usual"


def _release(reader: Reader, kind: str, amps: float | None, fitted: switching.Fitted) -> str:
    """Return how fast the clutch lets go, against a plain diode or a zener, and what a diode must be made for."""
    r20, nominal, supply = reader.si("clutch.coil_resistance"), nominal_of(reader), highest_supply(reader)
    polarity = f" {POLARITY}" if kind in ("diode", "diode and zener") else ""
    if r20 is None:
        return polarity.strip()

    def taus(kind: str, fitted: switching.Fitted) -> float:
        """Time until the armature lets go, in time constants of the coil: its inductance drops out of a ratio."""
        coil = {"resistance": r20, "inductance": r20, "supply": supply}
        share = switching.RELEASE_SHARE * amps
        return switching.release_si(kind, current=amps, release_current=share, fitted=fitted, **coil).seconds

    if kind != "diode":
        share = taus(kind, fitted) / taus("diode", fitted)
        return f"The clutch lets go in {share:.2f} of the time that it takes with a plain diode.{polarity}"
    quick = clamp_size(reader)
    slow = taus("diode", fitted) / taus("diode and zener", switching.Fitted(quick))
    row = tables.table("circuit_facts").one(part="clamp", item="diode reverse rating over circuit volts")
    return (
        f"{SLOW}: {slow:.1f} times as slowly as with a {quick:g} V zener in series. The diode carries "
        f"{reader.show(amps, 'current')} at switch-off; take one for that and for "
        f"{row['low'] * nominal:.0f} V in reverse.{polarity}"
    )


def _resistor(reader: Reader, supply: float, ohm: float, found: Value, tail: str) -> Judged:
    """Judge the heat of a resistor whose kick is small enough: it draws all the time that the clutch is engaged."""
    watts, rated = supply**2 / ohm, reader.si("circuit.suppression_power")
    words = (
        f"It draws {reader.show(supply / ohm, 'current')} all the time that the clutch is engaged, which is counted "
    )
    words += f"as a load, and turns {watts:.{0 if watts >= 100.0 else 1}f} W into heat; "
    words += "what it is rated for is not known yet. " if rated is None else f"it is rated for {rated:g} W. "
    if rated is not None and not at_most(watts, rated):
        return Judged(STOP, found, f"{words}It burns.", False)
    if ohm < reader.si("clutch.coil_resistance"):
        return Judged(CAUTION, found, f"{words}That is more than the coil draws.", True)
    if rated is None:
        return Judged(None, found, words.strip(), True, ("circuit.suppression_power",))
    if not at_most(watts, RESISTOR_SHARE * rated):
        return Judged(CAUTION, found, f"{words}In warm air a resistor carries about half its rating for long.", True)
    return Judged(GO, found, words + tail, True)


def clamp_size(reader: Reader) -> float | None:
    """Return the listed voltage (V) of a zener or TVS for this supply: the first at twice its highest or above."""
    supply = highest_supply(reader)
    if supply is None:
        return None
    return next((v for v in preferred(24) if at_least(v, 2.0 * supply)), None)


def resistor_size(reader: Reader) -> tuple[float, float] | None:
    """Return resistance (ohm) and rating (W), as sold, of a resistor for this coil; None where none is sold."""
    r20, supply = reader.si("clutch.coil_resistance"), highest_supply(reader)
    if r20 is None or supply is None:
        return None
    ohm = next(v for v in preferred(12) if at_least(v, USUAL_RESISTOR * r20))
    watts = supply**2 / (RESISTOR_SHARE * ohm)
    return next(((ohm, w) for w in POWERS if at_least(w, watts)), None)


def check(draft: Draft, reader: Reader, data) -> None:
    """Add the check of the suppression."""
    limit = "a resistor, a diode, a diode with a zener, or a TVS, across the coil"
    found = judged(reader, data)
    if found.verdict is None:
        draft.missing(reader, ID, NAME, found.missing, found.reason, limit=limit)
        return
    draft.check(
        id=ID,
        name=NAME,
        found=found.found,
        wanted=limit,
        verdict=found.verdict,
        reason=found.reason,
        remedy=unless_go(
            found.verdict,
            "Put a diode across the clutch coil, its band to the positive side, or a diode with a zener where a quick "
            "release matters.",
        ),
        source="relay-suppression; own-derivation",
        guards=found.verdict == STOP,
    )


__all__ = ["check", "clamp_size", "coil_amps", "judged", "resistor_size", "tames"]
