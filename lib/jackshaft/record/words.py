"""The cautions of a record: three lines at its head, and all of them once."""

from __future__ import annotations

from jackshaft.parts.words import made_safe

WARNING = (
    "This record is no certificate. Local codes, the part maker's data and a licensed engineer or electrician go "
    "before it.",
    "Rotating parts catch clothes and hair. Guard every belt, pulley and shaft. Stop everything before you reach in.",
    "Do not cut metal from figures that are marked estimate, assumed or from memory.",
)

NO_CERTIFICATE = (
    "This record is no certificate. It is a builder's working paper. Where it differs from local codes, the part "
    "maker's data or the judgement of a licensed engineer or electrician, they are right and this record is wrong."
)

_CAUTIONS = (
    "Rotating parts catch clothes and hair and wind them in faster than anybody can react. Every place where a belt "
    "runs onto a pulley needs a guard that nobody can reach through. So does every turning shaft, key, screw head and "
    "joint.",
    "Before you reach in: {safe}. Take the key out, and wait until everything has stopped.",
    "A sprung idler, a tight belt and a raised attachment hold energy. Block or release them before you loosen "
    "anything.",
    "Do not cut metal from figures that are marked estimate, assumed or from memory. Measure the real part. Once the "
    "part is known, use its maker's own figure.",
    "Never bridge a seat, neutral, brake or guard switch. Test each of them before every use.",
)


def cautions(kind: str | None) -> tuple[str, ...]:
    """Return all cautions of a record; ``kind`` is the build's ``engine.kind``."""
    return tuple(line.format(safe=made_safe(kind)) for line in _CAUTIONS)


MAINS = (
    "Mains wiring is work for a licensed electrician under the local code: protective earth, residual-current "
    "protection outdoors, a lockable isolator, and overload protection that needs a deliberate restart.",
)
