"""What may mend an insert: its bar turned or bought finer, its lock fitted, its screws and its housing set anew."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.buildfile.naming import named
from jackshaft.chapters.bearings.inserts import CLASSES, housing_of, locking_of
from jackshaft.chapters.bearings.seats import OTHER_SIZE
from jackshaft.mechanics import bearing_marks, inserts
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing
from jackshaft.units import show

#: What was read of the insert that is taken out, of its housing, and what its maker says of it.
OF_THE_OLD = (
    "bore outside width marking dynamic_rating static_rating static_rating_is static_rating_factor centre_height "
    "bolt_spacing screw_torque"
).split()
FINE = ("0.0001 in", "0.001 mm")


def _of(failing: Failing):
    """Return identity and seat of the insert, or a pair of None."""
    data = failing.data("bearings")
    if data is None:
        return None, None
    return data.identity.get(failing.part), data.seats.get(failing.part)


def insert_taken(failing: Failing, name: str, size) -> Proposal:
    """Return another insert put in the place of one, in its own housing; its lock stays of the same kind."""
    at, reader = f"bearing[{name}]", failing.reader
    identity = failing.data("bearings").identity[name]
    changes = dict.fromkeys((f"{at}.{k}" for k in OF_THE_OLD if reader.get(f"{at}.{k}") is not None), "")
    for key, value in (("locking", locking_of(reader, identity)), ("housing", housing_of(reader, identity))):
        if value not in (None, "none"):
            changes[f"{at}.{key}"] = value
    words = f"Take an insert {size.designation} in place of {named('bearing', name)}, "
    words += f"in a housing of size {size.size_code}."
    return Proposal(words, {**changes, f"{at}.designation": size.designation})


def bar(failing: Failing) -> Iterator[Proposal]:
    """Yield the bar turned to the middle of its limits, then bar bought in the class that is wanted."""
    identity, seat = _of(failing)
    if identity is None or seat is None or seat.shaft is None or len(identity.rivals) != 1:
        return
    at, reading = f"bearing[{failing.part}]", identity.shaft
    if reading is not None and abs(reading.value - identity.size.bore) > OTHER_SIZE:
        return
    if reading is not None and reading.instrument == "micrometer" and reading.value > seat.shaft.upper:
        text = failing.down((seat.shaft.lower + seat.shaft.upper) / 2, "length", *FINE)
        yield Proposal(
            f"Polish or turn the bar under {named('bearing', failing.part)} to {text}.", {f"{at}.seat": text}
        )
    if reading is None or reading.instrument == "micrometer":
        yield _bought(failing, seat.slides)


def _bought(failing: Failing, grade: str) -> Proposal:
    at = f"bearing[{failing.part}]"
    changes = {f"{at}.seat_class": grade}
    if failing.reader.get(f"{at}.seat") is not None:
        changes[f"{at}.seat"] = ""
    return Proposal(f"Take bar of class {grade} under {named('bearing', failing.part)}. Measure it.", changes)


def finer(failing: Failing) -> Iterator[Proposal]:
    """Yield the coarsest class of bar whose speed limit is above the speed, and finer ones."""
    identity, seat = _of(failing)
    data = failing.data("bearings")
    if identity is None or seat is None or not seat.slides:
        return
    life, code = data.lives[failing.part], identity.size.size_code
    speed = life.speed if life.top_speed is None else life.top_speed
    enough = [c for c in CLASSES if float(inserts.insert_speed.si(code, c)) >= speed and c in CLASSES[: _place(seat)]]
    for grade in reversed(enough):
        yield _bought(failing, grade)


def _place(seat) -> int:
    """Return how many classes are as fine as the one that the load asks for."""
    return CLASSES.index(seat.slides) + 1


def _locking(failing: Failing) -> Iterator[Proposal]:
    """Yield the lock that the marking names, or set screws; then a collar on the shaft for a push along it."""
    at, (identity, _) = f"bearing[{failing.part}]", _of(failing)
    if identity is None:
        return
    if locking_of(failing.reader, identity) == "none":
        lock = (identity.marking.locking if identity.marking else "") or bearing_marks.SET_SCREWS
        yield Proposal(f"Fit the {lock} of {named('bearing', failing.part)}. Tighten it.", {f"{at}.locking": lock})
        return
    if failing.reader.get(f"{at}.screw_torque") is not None:
        yield from _screws(failing)
    words = (
        f"Clamp a collar on the shaft beside {named('bearing', failing.part)}, on the side to which the load pushes."
    )
    yield Proposal(words, {f"{at}.shaft_collar": "yes"})


def _screws(failing: Failing) -> Iterator[Proposal]:
    """Yield the middle of the lists' band."""
    identity, _ = _of(failing)
    if identity is None or identity.size is None:
        return
    found = inserts.insert_screws.si(identity.size.size_code)
    text = show((found.low + found.high) / 2, "torque", failing.build.system)
    yield Proposal(
        f"Tighten the set screws of {named('bearing', failing.part)} to {text}.",
        {f"bearing[{failing.part}].screw_torque": text},
    )


def _tilt(failing: Failing) -> Iterator[Proposal]:
    """Yield the housing set in line to one degree."""
    words = f"Shim the housing of {named('bearing', failing.part)} until it stands within 1° of the shaft."
    yield Proposal(words, {f"bearing[{failing.part}].misalignment": "1 deg"})


PROPOSALS = {
    "bearings.locking": _locking,
    "bearings.screws": _screws,
    "bearings.tilt": _tilt,
}
