"""What the sheet of a flat pulley or flat idler holds: a straight rim, the least face, the bore or bearing seat."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.buildfile.naming import named
from jackshaft.mechanics import path as belt_path
from jackshaft.parts.belt_stage import Pulleys, belts_of, groove_row, section_row
from jackshaft.results.reader import Reader
from jackshaft.results.running import Results
from jackshaft.sheets.bore import Bore
from jackshaft.sheets.cutting import cut_note, spindle
from jackshaft.sheets.mounting import Mounting, mounting_of
from jackshaft.sheets.pulley import TURNED, Size, bore_sizes, cut_row, pulleys_of, run_out
from jackshaft.sheets.rim import rim_words
from jackshaft.sheets.words import CARE, plain, stops, unsure

MM = 1e-3
#: How far belts may run out of line with their pulley, rad: common practice, no source.
OUT_OF_LINE = math.radians(0.5)
#: Why a flat pulley for V-belts has no crown.
STRAIGHT = "no crown under V-belts or their backs; makers' guidance, from memory"


class Flat(NamedTuple):
    """One flat pulley, m; ``belts`` is the width that its belts take, ``face`` the least width, None where not known.

    ``idle``: it is an idler, whose bore holds a bearing ``wide`` wide, None where that is not known.
    """

    build: str
    fingerprint: str
    stage: str
    pulley: str
    turned: bool
    idle: bool
    material: str | None
    outside: float
    belts: float | None
    face: float | None
    bore: Bore | None
    wide: float | None
    sizes: tuple[Size, ...]
    cut: tables.Row | None
    warnings: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def title(self) -> str:
        """What stands at the head of the page."""
        what = "to turn" if self.turned else "bought: check against"
        kind = "flat idler" if self.idle else "flat"
        return f"{self.build} · {self.fingerprint} · {self.stage}, {named('pulley', self.pulley)}, {kind} · {what}"

    @property
    def wall(self) -> float | None:
        """The metal between rim and bore, or its keyway's bottom, m; None where the bore is not known."""
        return None if self.bore is None else self.outside / 2 - self.bore.bottom


def flat_sheets(results: Results) -> Iterator[Flat]:
    """Yield a sheet for each flat pulley of the belts, the idlers among them."""
    reader = Reader(results.build)
    for stage, p, i in pulleys_of(results):
        if p.flat[i]:
            yield _sheet(results, reader, stage, p, i)


def _sheet(results: Results, reader: Reader, stage: str, p: Pulleys, i: int) -> Flat:
    at, build = f"stage[{stage}]", results.build
    here, section = f"{at}.pulley[{p.names[i]}]", section_row(reader, at)
    on, made = mounting_of(results, reader, stage, p, i), reader.get(f"{here}.made")
    stop, *rim = rim_words(results, reader, on, p, i, here)
    belts = None if section is None else belts_wide(section, belts_of(reader, at), 2 * float(p.pitch.min()))
    room = _room(results, stage, i)
    lacks = [on.lacks] if on.lacks else []
    if belts is None:
        lacks.append("Its face is not known: no table gives how wide these belts are side by side.")
    elif room is None:
        lacks.append("Its face is not known: the belt has no path here, so neither are the strands beside it.")
    if made is None:
        lacks.append(f"Taken as bought, because the build does not say that it is turned: {plain(here)}.made.")
    flat = Flat(
        build=plain(build.name or build.file),
        fingerprint=fingerprint(build),
        stage=plain(stage),
        pulley=plain(p.names[i]),
        turned=made == TURNED,
        idle=i not in p.powered,
        material=p.materials[i],
        outside=2 * float(p.outside[i]),
        belts=belts,
        face=None if None in (belts, room) else belts + 2 * room,
        bore=on.bore,
        wide=on.wide,
        sizes=(),
        cut=cut_row(p.materials[i]),
        warnings=(),
        notes=(*rim, *lacks, *unsure(build, here, () if on.bore is None else on.bore.keys)),
    )
    warned = (*_impossible(flat), *filter(None, (stop,)), *_by_memory(section))
    sizes = tuple(_sizes(flat, 2 * float(p.pitch[i]), room, on))
    return flat._replace(sizes=sizes, warnings=(*warned, *stops(results), *CARE))


def belts_wide(section: tables.Row, count: int, smallest: float) -> float | None:
    """Return the width of belts or ribs side by side, m; None where no table gives how far apart they run.

    ``smallest`` is the diameter of a grooved pulley of the stage, m, by which the grooves are chosen.
    """
    if section["counted_by"] == "rib":
        return None if section["rib_pitch_mm"] is None else count * section["rib_pitch_mm"] * MM
    row, one = groove_row(section, smallest), section["top_width_mm"]
    apart = 0.0 if count == 1 else None if row is None else row["pitch_mm"]
    return None if None in (apart, one) else ((count - 1) * apart + one) * MM


def _by_memory(section: tables.Row | None) -> Iterator[str]:
    """Yield a sentence where the width of the belt was not read in its source."""
    if section is not None and section["dims_known"] != "read":
        yield f"ESTIMATE: the width of the belt is not read from a source ({section['dims_known']})."


def _room(results: Results, stage: str, i: int) -> float | None:
    """Return how far the belts may stray to one side on the longer of the strands beside a pulley, m."""
    layout = (results.chapters["layout"].data or {}).get(stage)
    if layout is None or layout.path.reason != belt_path.OK:
        return None
    strands = np.hypot(*(layout.end - layout.start).T)
    return float(max(strands[i - 1], strands[i])) * math.tan(OUT_OF_LINE)


def _impossible(flat: Flat) -> Iterator[str]:
    if flat.bore is None:
        return
    if flat.bore.stop:
        yield flat.bore.stop
    elif flat.wall <= 0:
        yield "STOP: the bore is as wide as the rim: no wall is left."


def _sizes(flat: Flat, pitch: float, room: float | None, on: Mounting) -> Iterator[Size]:
    yield Size("rim, outside", "length", flat.outside, None, None, "the build")
    yield Size("crown: straight, both edges alike", "length", 0.0, None, None, STRAIGHT)
    yield Size("diameter at the cord", "length", pitch, None, None, "the build; not to be cut")
    if flat.belts is not None:
        yield Size("belts side by side", "length", flat.belts, None, None, "belt sections and grooves of the tables")
    if flat.face is not None:
        whose = f"the belts, and {room / MM:.1f} mm on each side: half a degree out of line on its longer strand "
        yield Size("face, or more", "length", flat.face, flat.face, None, f"{whose}(common practice, no source)")
    if flat.bore is not None:
        yield from bore_sizes(flat.bore)
        yield Size("wall left below the rim", "length", flat.wall, None, None, "from the sizes above")
    if on.pin is not None:
        b = on.pin
        whose = f"the inner ring slides on it ({tables.printed_in(b.cite)})"
        yield Size("pin under the bearing", "length", b.upper - b.upper_deviation, b.lower, b.upper, whose)
    if on.wide is not None:
        yield Size("bearings side by side", "length", on.wide, None, None, "the bearing list; add rings and spacers")
    yield from run_out(flat.outside)


def flat_operations(flat: Flat) -> Iterator[str]:
    """Yield what is done, one sentence or more for each step."""
    if not flat.turned:
        yield "Bought: make nothing. Measure the pulley at each line, and hold it against the limits."
        yield "Lay a straightedge along the rim: light under its middle is a hollow, light at its ends a crown."
        if flat.idle:
            yield "Spin it by hand: give it back if it rumbles, rocks or runs stiff."
        return
    speeds = spindle(flat.cut, flat.outside)
    yield cut_note(flat.material, flat.cut) + (f" At the rim: {speeds}." if speeds else "")
    yield "Hold it by the outside, jaws within the chuck's body. Face side A; bore in the same setting. Mark face A."
    yield "Turn the rim in one cut with the bore still on its centre, or on a mandrel; measure it at both edges."
    yield "Break both edges of the rim, so that no belt is cut by them."
    if flat.idle:
        yield (
            "Press the bearing in by its outer ring. Hold it endways with a ring groove or a shoulder by the bearing's "
            "maker. See that the pin's nut clamps the inner ring only."
        )
    else:
        yield "Broach the keyway last, set it on its shaft, read the run-out on a dial, and balance it."


__all__ = ["Flat", "belts_wide", "flat_operations", "flat_sheets"]
