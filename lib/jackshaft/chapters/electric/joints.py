"""Fuse, contacts and joints of the clutch circuit: what each adds to its resistance."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft import tables
from jackshaft.mechanics import circuit
from jackshaft.results.reader import Reader

#: Resistance of a fuse that no table has: assumed.
FUSE_OHM = 0.005
FUSE_STYLES = {"blade": "blade", "glass": "glass cartridge"}


def fuse_ohm(reader: Reader) -> float | None:
    """Return the cold resistance of the fuse fitted, or None where no table has it."""
    rating = reader.si("circuit.fuse")
    style = FUSE_STYLES.get(reader.get("circuit.fuse_kind") or "blade")
    rows = [
        r
        for r in tables.table("fuse_ratings").rows
        if rating is not None and r["style"] == style and abs(r["rating_a"] - rating) < 1e-6 and r["cold_mohm"]
    ]
    return rows[0]["cold_mohm"] / 1e3 if rows else None


def has_relay(reader: Reader) -> bool | None:
    """Tell whether a relay carries the coil's current; None where the build does not say."""
    said = reader.get("circuit.relay")
    if said is None and (
        reader.get("circuit.relay_rating") is not None or reader.get("circuit.relay_voltage") is not None
    ):
        return True
    return said


class Contacts(NamedTuple):
    """The contacts that the coil's current passes: name, and resistance (ohm) likely and at the bad end."""

    name: str
    likely: float
    bad: float


def contacts_of(reader: Reader) -> Contacts | None:
    """Return the contacts in the coil's line, or None where neither a relay nor a switch is known."""
    facts = tables.table("circuit_facts")
    row = facts.one(part="relay", item="contact drop at 10 A")
    likely, bad = row["likely"] / 10.0, row["high"] / 10.0
    if has_relay(reader):
        return Contacts("relay contact", likely, bad)
    switch = [reader.get(f"circuit.switch_{k}") for k in ("marking", "rated_for", "rating")]
    if all(v is None for v in switch):
        return None
    # without a relay the coil's current passes every interlock as well, all in series
    count = 1 + len(reader.names("circuit.interlock"))
    return Contacts("switch contact" if count == 1 else f"switch contacts, {count}", count * likely, count * bad)


def _joint_ohm(item: str) -> dict:
    return tables.table("circuit_facts").one(part="joint", item=item)


def joint_parts(reader: Reader, assumed: list[str], ends: int):
    """Return fuse, contact and joints on the way out, likely and at the bad end, where they are not listed one by one.

    ``ends`` is the number of wire ends, each with a crimp.
    """
    joints, contact = reader.get("circuit.joint_resistance"), contacts_of(reader)
    fuse = fuse_ohm(reader)
    has_fuse = reader.si("circuit.fuse") is not None
    if has_fuse and fuse is None:
        fuse = FUSE_OHM
        assumed.append("the fuse's own resistance, 5 mΩ")
    if joints is None:
        reader.note_missing("circuit.joint_resistance")
        sound, rusty = _joint_ohm("resistance, sound crimp"), _joint_ohm("resistance, bad crimp or rusty ground")
        parts = [circuit.Part("fuse", "fuse", fuse)] if has_fuse else []
        worst = list(parts)
        said = f"{ends} sound crimps of {sound['likely']:g} mΩ"
        if contact is not None:
            parts.append(circuit.Part(contact.name, "contact", contact.likely))
            worst.append(circuit.Part(contact.name, "contact", contact.bad))
            said += f" and {contact.name} {1e3 * contact.likely:.2g} mΩ"
        parts.append(circuit.Part("joints", "joint", ends * sound["likely"] / 1e3))
        worst.append(circuit.Part("joints", "joint", ((ends - 1) * sound["high"] + rusty["likely"]) / 1e3))
        assumed.append(f"{said}; one of {rusty['likely']:g} mΩ at the bad end")
        return tuple(parts), tuple(worst)
    total, parts = joints.si, []
    # what was measured or estimated for all joints together holds the fuse, its holder and the contact too
    for name, kind, own in (
        ("fuse", "fuse", fuse if has_fuse else None),
        ("", "contact", None) if contact is None else (contact.name, "contact", contact.likely),
    ):
        if own is not None and total > 0.0:
            share = min(own, 0.5 * total)
            parts.append(circuit.Part(name, kind, share))
            total -= share
    if total > 0.0:
        parts.append(circuit.Part("joints", "joint", total))
    spread = joints.plus_minus or 0.0
    worst = [p._replace(ohm=p.ohm + spread) if p.kind == "joint" else p for p in parts]
    if spread and total <= 0.0:
        worst.append(circuit.Part("joints", "joint", spread))
    return tuple(parts), tuple(worst)


#: Where a joint may sit, in the order of the current.
PLACES = ("battery side, out", "coil side, out", "coil side, back", "battery side, back")


def named_joints(reader: Reader) -> dict[str, list[circuit.Part]]:
    """Return the joints that the build lists one by one, by their place; empty where it lists none.

    A joint whose drop was read gets its resistance from that drop and the cold coil's own current.
    """
    found: dict[str, list[circuit.Part]] = {}
    r20 = reader.si("clutch.coil_resistance")
    supply = reader.si("circuit.running_voltage", reader.si("circuit.battery_voltage"))
    for name in reader.names("circuit.joint"):
        at = f"circuit.joint[{name}]"
        place, ohm, drop = (
            reader.get(f"{at}.place") or PLACES[0],
            reader.si(f"{at}.resistance"),
            reader.si(f"{at}.drop"),
        )
        if ohm is None and drop is not None and r20 and supply and drop < supply:
            # the coil has what is left of the supply, near enough for a joint
            ohm = drop * r20 / (supply - drop)
        if ohm is None:
            reader.note_missing(f"{at}.drop")
        elif ohm > 0.0:
            found.setdefault(place, []).append(circuit.Part(name, "joint", ohm))
    return found


__all__ = [
    "FUSE_OHM",
    "FUSE_STYLES",
    "PLACES",
    "Contacts",
    "contacts_of",
    "fuse_ohm",
    "has_relay",
    "joint_parts",
    "named_joints",
]
