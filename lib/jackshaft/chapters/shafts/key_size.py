"""Whether a key is of a size that belongs on its shaft."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.chapters.shafts.capacity import JointReader
from jackshaft.mechanics import keys
from jackshaft.parts.along import ENGINE
from jackshaft.parts.words import joint_part
from jackshaft.results.checks import CAUTION, STOP
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing, as_sold
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_least, at_most

#: Share of the shaft's diameter that a key may be wide or high at most: common practice, no source.
MOST = 0.5


def check(draft: Draft, reader: Reader, joint: JointReader, part: str) -> None:
    """Add a caution where a key is more than one size off the usual for its shaft; a stop above half the shaft."""
    try:
        shaft = joint.size_if_known() if joint.kind == "parallel key" else None
    except ValueError:  # it sits where no shaft is, and the check of the joint itself says so
        return
    if shaft is None:
        return
    if joint.shaft == ENGINE:
        _judge(draft, reader, joint, (f"shafts.key-width[{part}]", "width", "engine.key_width"), shaft)
        return
    for what in ("width", "height"):
        _judge(draft, reader, joint, (f"shafts.key-{what}[{part}]", what, f"{joint.at}.{what}"), shaft)


def usual(failing: Failing) -> Iterator[Proposal]:
    """Yield the usual keys of the shaft under a joint; the key of an engine is the engine maker's."""
    reader = failing.reader
    for shaft in reader.names("shaft"):
        for name in reader.names(f"shaft[{shaft}].joint"):
            size = JointReader(reader, shaft, name, "parallel key", None).size_if_known()
            if size is None or joint_part(reader, shaft, name) != failing.part:
                continue
            at, system = f"shaft[{shaft}].joint[{name}]", failing.build.system
            for standard in sorted(keys.STANDARDS, key=lambda s: s != system):
                if not keys.near_sizes_si(size, "width"):
                    continue
                key = keys.key_for.si(size, system=standard)
                texts = {what: as_sold(getattr(key, what), standard) for what in ("width", "height")}
                changes = {f"{at}.{what}": text for what, text in texts.items() if reader.get(f"{at}.{what}")}
                words = f"Use a key {texts['width']} wide and {texts['height']} high for {name}, in seats cut for it."
                yield Proposal(words, changes, clears=True)


def _judge(draft: Draft, reader: Reader, joint: JointReader, names: tuple[str, str, str], shaft: float) -> None:
    id, what, key = names
    size, near, most = reader.si(key), keys.near_sizes_si(shaft, what), MOST * shaft
    off = bool(near) and not any(size is None or at_least(size, n.least) and at_most(size, n.most) for n in near)
    if size is None or not off and at_most(size, most):
        return
    usual = " or ".join(f"{reader.show(n.usual, 'length')} ({n.standard})" for n in near)
    reason = f"Its shaft is {reader.show(shaft, 'length')} there."
    reason += f" The {what} of the usual key is {usual}; this is more than one size off." if off else ""
    reason += "" if at_most(size, most) else " A key of more than half its shaft leaves no sound shaft under its seat."
    low = bool(near) and size < min(n.least for n in near)
    limit = min(n.least for n in near) if low else min([most, *([max(n.most for n in near)] if near else [])])
    draft.check(
        id,
        f"{joint.shaft}: {joint.name}, its {what}",
        reader.number(size, "length", known=reader.how(key)),
        reader.number(limit, "length", "{} or more" if low else "{} or less"),
        CAUTION if at_most(size, most) else STOP,
        reason=reason,
        remedy="Measure the key, its seat and the shaft again.",
        source="key-table-b17-1; textbook-keys; half of the shaft: common practice, no source",
    )
