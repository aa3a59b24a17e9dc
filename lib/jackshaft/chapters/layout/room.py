"""Whether centres that move leave room to put the belt on, and to keep it tight while it stretches and wears."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.chapters.layout.arm import STRETCH
from jackshaft.chapters.layout.data import StageLayout, StockBelt
from jackshaft.chapters.layout.take_up import CENTRES
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.mechanics import twopulley
from jackshaft.results.checks import CAUTION, GO, reaches, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import TAPE

#: Under this share of what is wanted there is as good as no room.
AS_GOOD_AS_NONE = 0.1


class Room(NamedTuple):
    """How far the centres can still open and close with a belt on, and how far they have to, m.

    ``opens`` and ``closes`` are NaN where the travel is not known; ``touching`` tells whether the rims end the way in
    before the travel does. ``fitting`` is the travel to put the belt on, with its source.
    """

    stands: float
    opens: float
    stretch: float
    closes: float
    fitting: belt_lengths.Travel
    touching: bool

    @property
    def stretches(self) -> bool | None:
        """Whether there is room for stretch and wear; None where that is not known."""
        return None if np.isnan(self.opens) else reaches(self.opens, self.stretch)

    @property
    def goes_on(self) -> bool | None:
        """Whether there is room to put the belt on; None where that is not known."""
        return None if np.isnan(self.closes) else reaches(self.closes, self.fitting.length)


def centre_room(reader: Reader, layout: StageLayout, belt: StockBelt | None) -> Room | None:
    """Return the room that centres which move leave a belt; None where none move, or the belt does not fit them."""
    at, p = f"stage[{layout.name}].takeup", layout.pulleys
    moves = reader.get(f"{at}.kind") in CENTRES and len(p.names) == 2
    if not moves or layout.belt is None or belt is None or not belt.fits or not np.isfinite(belt.centres):
        return None
    out, into = (reader.si(f"{at}.travel_{way}") for way in ("out", "in"))
    drawn, rims = layout.as_drawn.centres, float(np.maximum(p.outside, p.pitch).sum())
    sizes = {"first": 2 * p.pitch[p.driver], "second": 2 * p.pitch[p.driven], "crossed": p.crossed}
    grown = float(twopulley.centre_distance.si(belt.pitch_length * (1 + STRETCH), **sizes))
    least = np.nan if into is None else max(drawn - into, rims)
    return Room(
        stands=belt.centres,
        opens=np.nan if out is None else max(drawn + out - belt.centres, 0.0),
        stretch=grown - belt.centres,
        closes=float(max(belt.centres - least, 0.0)),
        fitting=belt_lengths.fitting_travel(layout.belt, belt.pitch_length),
        touching=into is not None and drawn - into < rims,
    )


def room_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    """Add the check that centres which move leave room for the belt to go on, to stretch and to wear."""
    room = centre_room(reader, layout, layout.chosen) if layout.fits else None
    if room is None:
        return
    id, name = f"layout.take-up[{layout.name}]", f"{layout.name}: room to put the belt on and to keep it tight"
    on_only = room.stretches and room.goes_on is False
    least, known = (room.fitting.length, room.fitting.known) if on_only else (room.stretch, "common practice")
    purpose = "to put it on" if on_only else f"for {100 * STRETCH:g} % of stretch and wear"
    limit = reader.number(least, "length", f"{{}} or more {purpose}", form=TAPE, known=known)
    missing = tuple(
        f"stage[{layout.name}].takeup.travel_{way}"
        for way, holds in (("out", room.stretches), ("in", room.goes_on))
        if holds is None
    )
    reader.note_missing(*missing)
    if missing and False not in (room.stretches, room.goes_on):
        ways = " and ".join("open" if key.endswith("out") else "close" for key in missing)
        words = f"How far the centres can {ways} is not known yet. {_wants(reader, room)}"
        draft.checks.append(undecided(id, name, missing, words, limit=limit))
        return
    way = "the centres can close by {}" if on_only else "the centres can open by {}"
    draft.check(
        id,
        name,
        found=reader.number(room.closes if on_only else room.opens, "length", way, form=TAPE),
        wanted=limit,
        verdict=GO if room.stretches and room.goes_on else CAUTION,
        reason=_words(reader, layout, room),
        remedy=""
        if room.stretches and room.goes_on
        else "Let the centres move farther, or take a belt that leaves more of their travel.",
        source=f"own-derivation, two tangents and two arcs; stretch: common practice, no source; fitting: "
        f"{room.fitting.cite}",
    )


def _words(reader: Reader, layout: StageLayout, room: Room) -> str:
    """Return in words what room there is, and what it is too little for."""
    short = []
    if room.stretches is False:
        much = "No" if room.opens < AS_GOOD_AS_NONE * room.stretch else "Too little"
        short.append(f"{much} room is left for stretch: when the belt has used it up, nothing keeps it tight.")
    if room.goes_on is False:
        short.append(
            "There is too little room to put the belt on: levered over the rim, its cords may break. It can only go on "
            "with a pulley off its shaft."
        )
    moves = [
        f"{word} by {reader.tape(far)}"
        for word, far in (("open", room.opens), ("close", room.closes))
        if not np.isnan(far)
    ]
    touching = ", until the rims touch" if room.touching else ""
    here = f"With {layout.chosen.designation} on, the centres can still {' and '.join(moves)}{touching}."
    return " ".join((*short, here, _wants(reader, room)))


def _wants(reader: Reader, room: Room) -> str:
    return (
        f"For stretch and wear it wants {reader.tape(room.stretch)}, to be put on {reader.tape(room.fitting.length)}."
    )


__all__ = ["Room", "room_check", "centre_room"]
