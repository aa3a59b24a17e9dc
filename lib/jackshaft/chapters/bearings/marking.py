"""A marking on a ring explained piece by piece, without widgets."""

from __future__ import annotations

from dataclasses import dataclass

from jackshaft.chapters.bearings.shown import housing_words
from jackshaft.mechanics import bearing_marks, bearing_sizes, inserts
from jackshaft.units import both, show


@dataclass(frozen=True)
class Explained:
    """A marking piece by piece, its size in words, the marking written again in full, and what is in doubt."""

    text: str
    pieces: tuple[tuple[str, str], ...]
    size: str
    again: str
    doubts: tuple[str, ...]


def explain(text: str, system: str) -> Explained:
    """Explain a marking piece by piece, with its size and the marking written again from what was understood.

    Parameters
    ----------
    text : str
        As it stands on the ring.
    system : str
        inch or metric.

    Raises
    ------
    ValueError
        If there is no bearing number in it.
    """
    if not text.strip():
        raise ValueError("type what stands on the ring, such as 6205-2RS C3 or R8ZZ")
    said = bearing_marks.decode(text)
    pieces = tuple((w.partition(": ")[0], w.partition(": ")[2]) if ": " in w else ("", w) for w in said.words)
    known = (said.bore, said.od, said.width)
    doubts = [f"'{piece}' is not understood: look for it in its maker's list" for piece in said.not_understood]
    if None in known:
        size = "" if said.bore is None else f"bore {both(said.bore, 'length', system)}"
        doubts.insert(0, f"No list here holds {said.designation}: read the ring again, or measure outside and width")
    else:
        size = " × ".join(both(v, "length", system) for v in known)
    again = ""
    try:
        again = bearing_marks.marking_for(
            said.asked_as or said.designation,
            closure=said.closure,
            ring_groove=said.ring_groove,
            clearance=said.clearance,
        )
    except ValueError as error:
        doubts.append(str(error))
    if again and not same_marking(said, bearing_marks.decode(again)):
        doubts.append(f"Written again it would be {again}, which does not read back to the same")
        again = ""
    if said.asked_as and None not in known:
        pieces = (*pieces, *of_insert(said, system))
    return Explained(said.text, pieces, size, again, tuple(doubts))


def of_insert(said: bearing_marks.Marking, system: str) -> tuple[tuple[str, str], ...]:
    """Return what goes with an insert, by size: its set screws, its bar, and the housings of that size."""
    code = bearing_sizes.find.si(said.designation).size_code
    screws, bore = inserts.insert_screws.si(code), inserts.insert_row_si(said.bore)["bore_high_um"] * 1e-6
    low, high = (show(v, "torque", system) for v in (screws.low, screws.high))
    rows = [
        (
            "on its bar",
            f"slides on by hand; a new bore is up to {show(bore, 'length', system, by='indicator')} over size",
        ),
        (
            "its screws",
            f"{screws.size} in or {screws.metric}, {low} to {high} by three lists; they carry no drive torque",
        ),
    ]
    return (
        *rows,
        *((h.housing, f"{housing_words(h, system)} (from memory)") for h in inserts.insert_housings.si(code)),
    )


def same_marking(one: bearing_marks.Marking, other: bearing_marks.Marking) -> bool:
    """Tell whether two markings name the same bearing: size, what closes it, groove and clearance."""
    return all(
        getattr(one, n) == getattr(other, n)
        for n in ("designation", "bore", "od", "width", "closure", "ring_groove", "clearance")
    )
