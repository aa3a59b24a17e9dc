"""Ways to engage, compared: the electromagnetic clutch, a belt tightener and a centrifugal clutch on one build."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import NamedTuple

from jackshaft.chapters.clutch import running_up, tightener
from jackshaft.chapters.clutch.data import ClutchData, torque_number
from jackshaft.chapters.clutch.ways_data import CENTRIFUGAL, IDLER, MAGNETIC, Way
from jackshaft.mechanics import belt_rules, clutch
from jackshaft.parts.turning import missing_shape
from jackshaft.results.checks import Table, grade
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.units import OutOfRange

TITLE = "Ways to engage, compared"
NAMES = {MAGNETIC: "electromagnetic clutch", IDLER: "belt tightener", CENTRIFUGAL: "centrifugal clutch"}
GUARD = ("guard", "clutch.guarded")
NOT_KNOWN = "not known"


class Row(NamedTuple):
    """What a row of the table says: what is held and wanted (N·m), slip (s), heat (J), words, and the keys it lacks."""

    kind: str
    torque: clutch.Band | None
    wanted: float
    seconds: float | None
    heat: float | None
    wears: str
    needs: str
    lacks: tuple[str, ...]


def add(draft: Draft, reader: Reader, done: Mapping[str, Findings], data: ClutchData) -> None:
    """Add the table, where the torque of one way at least is known."""
    rows = [_magnetic(reader, data), _tightener(reader, done, data), _centrifugal(reader, done, data)]
    if all(row.torque is None for row in rows):
        return
    own = reader.get("clutch.kind") or MAGNETIC
    needs = data.required
    asked = "" if needs is None or not needs.work else f"The work takes {reader.show(needs.work, 'torque')} there. "
    draft.tables.append(
        Table(
            TITLE,
            (
                "way",
                "holds at work",
                "verdict",
                "slips for",
                "heat of one engagement",
                "wears",
                "needs",
                "missing to judge it",
            ),
            tuple(_cells(reader, row, own) for row in rows),
            f"All at the shaft '{data.shaft}'. {asked}The electromagnetic clutch is taken with its coil hot, the "
            "others with the driving side's speed held while they slip. The last column names keys of the build file.",
            aside=True,
        )
    )


def _cells(reader: Reader, row: Row, own: str) -> tuple[Value, ...]:
    known = row.torque is not None and row.wanted > 0.0
    holds = grade(likely=row.torque.likely, bad=row.torque.bad, limit=row.wanted) if known else ""
    return (
        NAMES[row.kind] + (" (this build)" if row.kind == own else ""),
        NOT_KNOWN if row.torque is None else torque_number(reader, row.torque, "{} ({low} at the bad end)"),
        holds,
        _endless(reader, row.seconds, "time", "never locks"),
        _endless(reader, row.heat, "energy", "without end"),
        row.wears,
        row.needs,
        ", ".join(row.lacks) or "nothing",
    )


def _endless(reader: Reader, value: float | None, kind: str, endless: str) -> Value:
    if value is None:
        return NOT_KNOWN
    return reader.number(value, kind) if math.isfinite(value) else endless


def _wanted(data: ClutchData) -> float:
    """Return what must be held at work, start and peak (N·m), 0 where it is not known."""
    needs = data.required
    return 0.0 if needs is None or not needs.work else max(needs.work, needs.start, needs.peak)


def _has(reader: Reader, things: Mapping[str, str]) -> tuple[str, tuple[str, ...]]:
    """Return what is needed with whether it is there, and the keys of what is not known."""
    says = {what: reader.get(key) for what, key in things.items()}
    words = {True: "there", False: "not there", None: "not known"}
    lacks = tuple(things[what] for what, there in says.items() if there is None)
    return "; ".join(f"{what}: {words[there]}" for what, there in says.items()), lacks


def _magnetic(reader: Reader, data: ClutchData) -> Row:
    own = reader.get("clutch.kind") in (None, MAGNETIC)
    keys = ["clutch.plate_voltage", "clutch.coil_resistance", "circuit.running_voltage", "circuit.wire"]
    if not own:
        lacks = ("clutch.static_torque", *(k for k in keys if reader.get(k) is None))
        needs = "battery, wire, fuse, switch and interlocks; a stop for its magnet"
        return Row(MAGNETIC, None, _wanted(data), None, None, "faces", needs, lacks)
    found = data.engagement
    needs, lacks = _has(reader, {"stop for its magnet": "clutch.magnet_held", "brake": "clutch.brake"})
    seconds = heat = None
    if found is not None:
        seconds, heat = found.steps.lock_time, found.heat
    else:
        lacks += tuple(missing_shape(reader))
    return Row(
        MAGNETIC,
        data.static[data.hot] if data.hot is not None and not data.fails else None,
        0.0 if data.required is None or not data.required.work else data.required.hold,
        seconds,
        heat,
        "faces, and the belts where they slip first" if found is not None and found.belts_slip else "faces",
        f"battery, wire, fuse, switch and interlocks; {needs}",
        tuple(dict.fromkeys((*data.lacking, *data.between, *lacks))),
    )


def _tried(kind: str, find: Callable[[], Way]) -> tuple[Way, str]:
    """Return a way, and why it cannot be worked out where its inputs are refused."""
    try:
        return find(), ""
    except OutOfRange as why:
        return Way(kind), f" Cannot be worked out: {why}."


def _tightener(reader: Reader, done: Mapping[str, Findings], data: ClutchData) -> Row:
    way, why = data.way, ""
    if way is None or way.kind != IDLER:
        way, why = _tried(IDLER, lambda: tightener.way_at(reader, done, data.shaft, data.required))
    if way.stage is None:
        return _row(way, data, "belt", f"a belt that leaves the shaft '{data.shaft}', with an idler{why}", ())
    things = {
        "keepers": "clutch.keepers",
        "lever that lets go": "clutch.returns",
        GUARD[0]: GUARD[1],
        "brake at the work": "clutch.brake",
        "belt its maker calls fit for it": f"stage[{way.stage}].clutching_belt",
    }
    layout = (done["layout"].data or {}).get(way.stage) if "layout" in done else None
    rule = None if layout is None or layout.belt is None else belt_rules.clutching(layout.belt).allowed
    if rule is False:
        del things["belt its maker calls fit for it"]
        why = f"; another belt: one of section {layout.belt.name} must not be clutched{why}"
    needs, lacks = _has(reader, things)
    lacks += tuple(k for k in ("clutch.release_travel",) if reader.get(k) is None)
    return _row(way, data, "belt and grooves", f"{needs}{why}", lacks)


def _centrifugal(reader: Reader, done: Mapping[str, Findings], data: ClutchData) -> Row:
    way, why = data.way, ""
    if way is None or way.kind != CENTRIFUGAL:
        ratio = done["ratio"].data
        find = running_up.by_shoes
        way, why = _tried(CENTRIFUGAL, lambda: find(reader, ratio, data.shaft, data.required, data.belts, own=False))
    needs, lacks = _has(reader, {GUARD[0]: GUARD[1]})
    lacks += tuple(k for k in ("engine.idle_speed",) if reader.get(k) is None)
    if reader.get("engine.rated_speed") is None:
        lacks += tuple(k for k in ("engine.full_speed",) if reader.get(k) is None)
    needs = f"an idle below the speed of engaging; a governor that keeps the top speed; {needs}{why}"
    return _row(way, data, "linings and drum", needs, lacks)


def _row(way: Way, data: ClutchData, wears: str, needs: str, lacks: tuple[str, ...]) -> Row:
    likely = way.slips.get("likely")
    seconds = None if likely is None else float(likely.seconds) if likely.locks else math.inf
    lacks = tuple(dict.fromkeys((*way.lacks, *lacks)))
    return Row(way.kind, way.torque, _wanted(data), seconds, way.heat, wears, needs, lacks)


__all__ = ["NAMES", "TITLE", "add"]
