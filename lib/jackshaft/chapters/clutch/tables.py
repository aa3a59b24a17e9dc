"""Tables of the clutch: where its torque comes from, its torque in each state, its symptoms."""

from __future__ import annotations

from jackshaft.chapters.clutch.data import ClutchData, torque_number
from jackshaft.results.checks import CAUTION, GO, STOP, Table, grade
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value


def add(draft: Draft, reader: Reader, data: ClutchData) -> None:
    """Add the tables of where the torque comes from, of the symptoms and of each state."""
    if data.known:
        rows = [
            (
                k.name,
                reader.number(k.torque, "torque"),
                reader.number(k.amps, "current"),
                reader.number(
                    k.spread.likely, "number", "{low} to {high} ×", low=k.spread.bad, high=k.spread.good, decimals=2
                ),
                "used" if i == 0 else "for comparison",
                k.words,
            )
            for i, k in enumerate(data.known)
        ]
        draft.tables.append(
            Table(
                "Where the torque comes from",
                ("from", "torque", "at", "spread", "", "how"),
                tuple(rows),
                "The first that is known is used: plate, then slip test, then geometry.",
            )
        )
        draft.tables.append(_symptoms(reader, data))
    if data.static:
        rows = [
            (
                state,
                reader.number(data.electric.volts(state), "voltage"),
                reader.number(data.electric.amps(state), "current"),
                *(reader.number(t, "torque") for t in data.static[state]),
                torque_number(reader, data.dynamic[state]),
                *_holds(data, state),
            )
            for state in data.static
        ]
        draft.tables.append(
            Table(
                "Torque in each state",
                ("state", "at the coil", "current", "bad end", "likely", "good end", "slipping", "holds", "pulls in"),
                tuple(rows),
                "Below the current that the torque is known at, it falls with the square of the current (a saturated "
                "magnet loses less: good end). Above that current a saturated magnet gains nothing (bad end). The last "
                "two columns say whether it then holds and pulls up what it must, its bad end too." + _judged(data.hot),
            )
        )


def _judged(hot: str | None) -> str:
    """Return in a sentence which of the states the checks judge."""
    return "" if hot is None else f" The checks judge '{hot}'; the other rows are there to compare."


#: Whether a torque is enough in a state, which is no verdict: only one of the states is judged.
ENOUGH = {GO: "yes", CAUTION: "likely, not surely", STOP: "no"}


def _holds(data: ClutchData, state: str) -> tuple[str, str]:
    """Return in words whether a state holds what it must, and whether it pulls the work up."""
    required = data.required
    least = (required.hold, required.work and required.pull_in) if required else (0.0, 0.0)
    return tuple(
        ENOUGH[grade(likely=band.likely, bad=band.bad, limit=torque)] if torque else "not known yet"
        for band, torque in zip((data.static[state], data.dynamic[state]), least, strict=True)
    )


def _symptoms(reader: Reader, data: ClutchData) -> Table:
    """Return the symptoms of the clutch itself, each with the one measurement that halves the list."""
    required, gap = data.required, reader.si("clutch.air_gap")
    peak = "not known yet" if required is None else reader.show(required.peak or required.hold, "torque")

    def holds(words: str) -> Value:
        if data.hot is None:
            return words.format("not known yet")
        return torque_number(reader, data.static[data.hot], words)

    rows = (
        (
            "slips at peaks only",
            "speed before and behind the clutch at a peak",
            holds(f"holds {{}} hot, the peak is {peak}"),
            "different: the clutch slips, so move it to a faster shaft or use a larger one; the same: the belt slips",
        ),
        (
            "slips all the time",
            "slip test with lever and scale, note the volts",
            holds("{} hot"),
            "as expected: the work takes more torque than planned; low: oil, wear or a wide gap",
        ),
        (
            "slow to engage",
            "gap with a feeler at three places",
            "not known yet" if gap is None else reader.number(gap, "length", known=reader.how("clutch.air_gap")),
            "wider: set it; as it was: measure the volts at the coil while it engages",
        ),
        (
            "drags when off",
            "turn the driven side by hand, coil unplugged",
            "free",
            "drags: gap too small or springs broken; free: voltage left on the coil, or magnetism left in the steel",
        ),
    )
    return Table(
        "Symptom of the clutch, and the one measurement that halves the list",
        ("symptom", "measure", "this build", "what it means"),
        rows,
    )


__all__ = ["add"]
