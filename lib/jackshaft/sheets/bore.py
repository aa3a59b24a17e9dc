"""The bore of a pulley and the keyway in it: sized for the shaft of the build, with limits and whose they are."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.shafts.hubs import joints_of
from jackshaft.chapters.shafts.sections import listed_steps, size_at
from jackshaft.mechanics import fits, keys
from jackshaft.parts.outside_loads import ENGINE, TIGHTENER, may_carry_clutch
from jackshaft.results.reader import Reader
from jackshaft.sheets.words import both
from jackshaft.units import OutOfRange

#: Classes of a bore that slides on and of a keyway's width: common practice, no source.
SLIDES, KEYWAY = "H7", "JS9"
DEEP = "Machinery's Handbook, 31st edition, p. 2552, with its 0.005 in over the key"
KEY = "parallel key"
#: What holds a hub that has no plain bore of the shaft's size, and what is asked for instead.
NO_BORE = {
    "taper bush": "A taper bush holds it: it has the bush's taper and no bore. Ask for a bush of its number with a "
    "bore of {size}.",
    "spline": "It sits on a spline of {size}: buy its hub with the spline cut.",
    "flange": "It is bolted to a flange on {size}: take pilot and holes from the flange.",
}


class Bore(NamedTuple):
    """A bore, m. ``across`` is from the keyway's bottom to the far side, ``deep`` at its side; None where not known.

    ``whose`` says what it must fit and whose its limits are; ``keys`` are the keys of the build it rests on.
    """

    size: float
    limits: fits.Limits | None
    whose: str
    keys: tuple[str, ...]
    width: float | None = None
    width_limits: fits.Limits | None = None
    across: float | None = None
    deep: float | None = None
    source: str = ""
    stop: str = ""

    @property
    def bottom(self) -> float:
        """How far the bore, or the keyway's bottom, is from the middle, m."""
        return self.size / 2 if self.across is None else self.across - self.size / 2


def bore_of(reader: Reader, shaft: str, stage: str, *, drives: bool) -> tuple[Bore | None, str]:
    """Return the bore of a stage's pulley on a shaft, or None and a sentence that says why there is none.

    ``drives`` tells whether the pulley is the driver of its stage: on the clutch's shaft that one sits on the clutch.
    """
    if drives and _carries_clutch(reader, shaft):
        return None, "It sits on the clutch: take bore, pilot and bolt circle from the clutch itself."
    if shaft == ENGINE:
        at, size, width = "engine.shaft_diameter", reader.si("engine.shaft_diameter"), "engine.key_width"
        return _made(reader, (at, width), size, None) if size else (None, f"Its bore is not known: {at}.")
    held = joints_of(reader, shaft, stage)
    if not held:
        return None, f"Its bore is not known: no joint of {shaft} is said to hold it."
    kinds = {reader.get(f"shaft[{shaft}].joint[{name}].kind"): f"shaft[{shaft}].joint[{name}]" for name in held}
    # of several that hold it the one that shapes the bore counts: a screw may stand over a key
    kind = next((k for k in (*NO_BORE, KEY) if k in kinds), next(iter(kinds)))
    joint = kinds[kind]
    at, size = thick(reader, shaft, joint)
    if not size:
        return None, f"Its bore is not known: {at}."
    if kind in NO_BORE:
        return None, NO_BORE[kind].format(size=both(size))
    if kind != KEY:
        return _made(reader, (at,), size, None)
    return _made(reader, (at, f"{joint}.width"), size, reader.si(f"{joint}.height"))


def thick(reader: Reader, shaft: str, joint: str) -> tuple[str, float | None]:
    """Return the key that says how thick a shaft is under a joint, and the diameter, m; None where it is not known."""
    steps, _ = listed_steps(reader, shaft)
    if not steps:
        return f"shaft[{shaft}].diameter", reader.si(f"shaft[{shaft}].diameter")
    place = reader.si(f"{joint}.position")
    size = None if place is None else size_at(steps, place)
    keys_of = (f"shaft[{shaft}].step[{name}].diameter" for name in reader.names(f"shaft[{shaft}].step"))
    return next((k for k in keys_of if size is not None and reader.si(k) == size), f"{joint}.position"), size


def _carries_clutch(reader: Reader, shaft: str) -> bool:
    if not reader.has("clutch") or reader.is_none("clutch") or reader.get("clutch.kind") == TIGHTENER:
        return False
    return shaft in (reader.get("clutch.shaft"), *may_carry_clutch(reader)[:1])


def _made(reader: Reader, at: tuple[str, ...], size: float, height: float | None) -> tuple[Bore, str]:
    """Return the bore of a shaft that is ``size`` thick, with the keyway of the key whose width stands in the build."""
    known = reader.how(at[0])
    limits = _limits(size, SLIDES)
    whose = "" if limits is None else f"{SLIDES}, common practice: {tables.printed_in(limits.cite)}; "
    bore = Bore(size, limits, f"{whose}its shaft: {at[0]}" + (f", {known}" if known else ""), at)
    width = reader.si(at[1]) if len(at) > 1 else None
    if width is None:
        return bore, "" if len(at) == 1 else f"Its keyway is not known: {at[1]}."
    height = keys.usual_height_si(width) if height is None else height
    try:
        across, deep = keys.hub_depth_si(size, width, height)
    except OutOfRange as wrong:
        return bore._replace(stop=f"STOP: {wrong}."), ""
    row = next((r for r in tables.table("keys").rows if r["standard"].startswith("DIN") and _same(r, width)), None)
    return bore._replace(
        width=width,
        width_limits=None if row is None else _limits(width, KEYWAY),
        across=across,
        deep=deep,
        source=DEEP if row is None else tables.printed_in(row.cite),
    ), ""


def _same(row: tables.Row, width: float) -> bool:
    return abs(row["width_mm"] * 1e-3 - width) < 1e-6


def _limits(size: float, fit_class: str) -> fits.Limits | None:
    try:
        return fits.limits.si(size, fit_class)
    except OutOfRange:
        return None


__all__ = ["Bore", "bore_of", "thick"]
