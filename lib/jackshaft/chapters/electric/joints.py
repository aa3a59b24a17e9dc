"""Fuse, contacts and joints of the clutch circuit: what each adds to its resistance."""

from __future__ import annotations

from jackshaft import tables
from jackshaft.chapters.electric.supply import supply_of
from jackshaft.mechanics import circuit
from jackshaft.results.reader import Reader

#: Resistance of a fuse that no table has: assumed.
FUSE_OHM = 0.005
FUSE_STYLES = {"blade": "blade", "glass": "glass cartridge"}


def fuse_style(reader: Reader) -> str | None:
    """Return the family of the fuse as the tables call it, None for one that they do not have."""
    return FUSE_STYLES.get(reader.get("circuit.fuse_kind") or "blade")


def fuse_parts(reader: Reader, assumed: list[str]) -> tuple[circuit.Part, ...]:
    """Return the fuse as a part of the line, with its cold resistance; empty where none is fitted."""
    rating = reader.si("circuit.fuse")
    if rating is None:
        return ()
    listed = [r for r in tables.table("fuse_ratings").rows if r["style"] == fuse_style(reader) and r["cold_mohm"]]
    ohm = next((r["cold_mohm"] / 1e3 for r in listed if abs(r["rating_a"] - rating) < 1e-6), None)
    if ohm is None:
        ohm = FUSE_OHM
        assumed.append(f"the fuse's own resistance, {1e3 * FUSE_OHM:g} mΩ")
    return (circuit.Part("fuse", "fuse", ohm),)


def has_relay(reader: Reader) -> bool | None:
    """Return whether a relay carries the coil's current; None where the build does not say."""
    given = reader.get("circuit.relay")
    described = any(reader.get(f"circuit.relay_{k}") is not None for k in ("rating", "voltage"))
    return True if given is None and described else given


def contacts_of(reader: Reader) -> tuple[circuit.Part, circuit.Part] | None:
    """Return the contacts in the coil's line, likely and at the bad end; None where no relay or switch is known."""
    row = tables.table("circuit_facts").one(part="relay", item="contact drop at 10 A")
    name, count = "relay contact", 1
    if not has_relay(reader):
        switch = [reader.get(f"circuit.switch_{k}") for k in ("marking", "rated_for", "rating")]
        if all(v is None for v in switch):
            return None
        # without a relay the coil's current passes every interlock as well, all in series
        count = 1 + len(reader.names("circuit.interlock"))
        name = "switch contact" if count == 1 else f"switch contacts, {count}"
    return tuple(circuit.Part(name, "contact", count * row[end] / 10.0) for end in ("likely", "high"))


def joint_parts(reader: Reader, assumed: list[str], ends: int):
    """Return fuse, contact and joints on the way out, likely and at the bad end, where they are not listed one by one.

    ``ends`` is the number of wire ends, each with a crimp.
    """
    joints, fuse, contact = reader.get("circuit.joint_resistance"), fuse_parts(reader, assumed), contacts_of(reader)
    if joints is None:
        return _usual_joints(reader, assumed, ends, fuse, contact)
    total, parts = joints.si, []
    # what was measured or estimated for all joints together holds the fuse, its holder and the contact too
    for part in (*fuse, *(contact or ())[:1]):
        if total > 0.0:
            parts.append(part._replace(ohm=min(part.ohm, 0.5 * total)))
            total -= parts[-1].ohm
    spread = joints.plus_minus or 0.0
    rest, worst = ((circuit.Part("joints", "joint", ohm),) if ohm > 0.0 else () for ohm in (total, total + spread))
    return (*parts, *rest), (*parts, *worst)


def _usual_joints(reader: Reader, assumed: list[str], ends: int, fuse, contact):
    """Return what fuse, contact and joints usually have, likely and at the bad end, where nobody measured them."""
    reader.note_missing("circuit.joint_resistance")
    facts = tables.table("circuit_facts").where(part="joint")
    sound, rusty = (facts.one(item=f"resistance, {kind}") for kind in ("sound crimp", "bad crimp or rusty ground"))
    words = f"{ends} sound crimps of {sound['likely']:g} mΩ"
    if contact is not None:
        words += f" and {contact[0].name} {1e3 * contact[0].ohm:.2g} mΩ"
    assumed.append(f"{words}; one of {rusty['likely']:g} mΩ at the bad end")
    crimps = ends * sound["likely"], (ends - 1) * sound["high"] + rusty["likely"]
    return tuple(
        (*fuse, *(() if contact is None else (contact[end],)), circuit.Part("joints", "joint", milliohm / 1e3))
        for end, milliohm in enumerate(crimps)
    )


#: Where a joint may sit, in the order of the current.
PLACES = ("battery side, out", "coil side, out", "coil side, back", "battery side, back")


def named_joints(reader: Reader) -> dict[str, list[circuit.Part]]:
    """Return the joints that the build lists one by one, by their place; empty where it lists none.

    A joint whose drop was read gets its resistance from that drop and the cold coil's own current.
    """
    found: dict[str, list[circuit.Part]] = {}
    r20 = reader.si("clutch.coil_resistance")
    supply = supply_of(reader)
    for name in reader.names("circuit.joint"):
        at = f"circuit.joint[{name}]"
        ohm, drop = reader.si(f"{at}.resistance"), reader.si(f"{at}.drop")
        if ohm is None and drop is not None and r20 and supply and drop < supply:
            # the coil has what is left of the supply, near enough for a joint
            ohm = drop * r20 / (supply - drop)
        if ohm is None:
            reader.note_missing(f"{at}.drop")
        elif ohm > 0.0:
            place = reader.get(f"{at}.place") or PLACES[0]
            found.setdefault(place, []).append(circuit.Part(name, "joint", ohm))
    return found


__all__ = ["PLACES", "fuse_parts", "fuse_style", "has_relay", "joint_parts", "named_joints"]
