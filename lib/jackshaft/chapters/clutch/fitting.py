"""How the clutch sits on its shaft: its bore, its keyway and the bolt that holds it on the crank."""

from __future__ import annotations

import re
from collections.abc import Iterator

from jackshaft import tables
from jackshaft.chapters.ratio.data import ENGINE
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import write_nominal

#: A bore or keyway may be larger than its shaft or key by this much, m, and smaller by what calipers miss, m:
#: common practice, no source.
LOOSE, TIGHT = 1.0e-4, 2.0e-5
SOURCE = "common practice, no source"


def add(draft: Draft, reader: Reader, shaft: str) -> None:
    """Add the verdicts on bore and keyway, and how tight the crank bolt is drawn."""
    bore(draft, reader, shaft)
    if shaft == ENGINE:
        keyway(draft, reader)
        bolt(draft, reader)


def bore(draft: Draft, reader: Reader, shaft: str) -> None:
    """Add the verdict on the bore against the shaft; it is asked for where the clutch sits on the engine's."""
    id, name = "clutch.bore", "bore on its shaft"
    keys = ("clutch.bore", _shaft_key(shaft))
    missing = reader.unknown(*keys)
    if missing:
        if shaft == ENGINE:
            words = "Clutches are sold in several bores. Measure the bore and the crank with calipers."
            draft.missing(reader, id, name, missing, words)
        return
    verdict, large = _fit(reader, *keys)
    words = "It slides on and sits true."
    remedy = ""
    if verdict != GO and large:
        words = "It is too large. The clutch sits out of true, hammers its key and works its bolt loose."
        remedy = "Use a clutch of the right bore, or a bush that its maker allows; then write down the bush's bore."
    elif verdict != GO:
        words = "It is too small. The clutch does not go on."
        remedy = "Use a clutch of the right bore. Do not turn the shaft down or bore the clutch out."
    draft.check(
        id,
        name,
        reader.number(reader.si(keys[0]), "length", known=reader.how(keys[0])),
        reader.number(reader.si(keys[1]), "length", f"{{}}, or up to {reader.show(LOOSE, 'length')} more"),
        verdict,
        reason=words + _unsure(verdict),
        remedy=remedy,
        source=SOURCE,
        guards=verdict == STOP and large,
    )


def keyway(draft: Draft, reader: Reader) -> None:
    """Add the verdict on the keyway in the bore against the crank's key, where both widths are known."""
    keys = ("clutch.key_width", "engine.key_width")
    if reader.is_none(keys[1]) or reader.is_none(keys[0]):
        return  # what holds a hub without a key is the shafts' question
    missing = reader.unknown(*keys)
    if missing:
        reader.note_missing(*missing)
        return
    verdict, large = _fit(reader, *keys)
    words = "The key fills its seat."
    if verdict != GO:
        words = "The key rocks in its seat and is hammered until it shears." if large else "The key does not go in."
    draft.check(
        "clutch.keyway",
        "keyway on the crank's key",
        reader.number(reader.si(keys[0]), "length", known=reader.how(keys[0])),
        reader.number(reader.si(keys[1]), "length", f"{{}}, or up to {reader.show(LOOSE, 'length')} more"),
        verdict,
        reason=words + _unsure(verdict),
        remedy="" if verdict == GO else "Use a clutch whose keyway is as wide as the crank's key, or a stepped key.",
        source=SOURCE,
    )


def bolt(draft: Draft, reader: Reader) -> None:
    """Add what the bolt that holds the clutch on the crank is tightened to; ask for the bolt where it is not known."""
    said, label = reader.get("clutch.bolt"), "bolt that holds it on the crank"
    if said is None:
        reader.note_missing("clutch.bolt")
        return
    row = next(
        (r for r in tables.table("crank_bolts").rows if _plain(said) in (_plain(r["bolt"]), _size(r["bolt"]))), None
    )
    maker = "the torque that the maker of engine or clutch states goes first"
    if row is None:
        known = ", ".join(r["bolt"] for r in tables.table("crank_bolts").rows)
        draft.fact(label, f"{said}: no torque in the table", f"ask the engine's maker; the table knows {known}")
        return
    low, high = row["torque_low_nm"], row["torque_high_nm"]
    words = f"{row['bolt']}, tightened to {{}} to {reader.show(high, 'torque')}"
    note = f"in N·m, {row['note'][:1].lower()}{row['note'][1:]}; " if row["note"] else ""
    source = f"source: {row['source']}, {row['locator']}"
    draft.fact(label, reader.number(low, "torque", words, high=float(high)), f"{source}; {note}{maker}")
    draft.cite(row["source"])


def right_bore(failing: Failing) -> Iterator[Proposal]:
    """Yield a clutch with the bore of its shaft."""
    size = failing.reader.si(_shaft_key(failing.reader.get("clutch.shaft") or ENGINE))
    if size is not None:
        text = write_nominal(size, failing.build.system)
        yield Proposal(f"Use a clutch with a bore of {text}.", {"clutch.bore": text})


def right_keyway(failing: Failing) -> Iterator[Proposal]:
    """Yield a clutch with the keyway of the crank's key."""
    size = failing.reader.si("engine.key_width")
    if size is not None:
        text = write_nominal(size, failing.build.system)
        yield Proposal(f"Use a clutch with a keyway of {text}.", {"clutch.key_width": text})


def _shaft_key(shaft: str) -> str:
    return "engine.shaft_diameter" if shaft == ENGINE else f"shaft[{shaft}].diameter"


def _fit(reader: Reader, hole: str, peg: str) -> tuple[str, bool]:
    """Return the verdict on a hole over what goes in it, and whether the hole is on the large side."""
    outer, inner = reader.get(hole), reader.get(peg)
    over, unsure = outer.si - inner.si, (outer.plus_minus or 0.0) + (inner.plus_minus or 0.0)
    if over > LOOSE + 1e-9 or over < -TIGHT - 1e-9:
        return STOP, over > 0.0
    if over + unsure > LOOSE + 1e-9:
        return CAUTION, True
    return (CAUTION if over - unsure < -TIGHT - 1e-9 else GO), False


def _unsure(verdict: str) -> str:
    return " That is so at the end of what the two measurements leave open." if verdict == CAUTION else ""


def _plain(text: str) -> str:
    """Return a bolt's name without blanks and capitals."""
    return re.sub(r"\s+", "", str(text)).casefold()


def _size(bolt: str) -> str:
    """Return the thread of a bolt of the table that no other bolt of it has, without its grade."""
    return _plain(str(bolt).partition(" ")[0]) if bolt.endswith("UNF") else _plain(bolt)


__all__ = ["LOOSE", "TIGHT", "add", "bolt", "bore", "keyway", "right_bore", "right_keyway"]
