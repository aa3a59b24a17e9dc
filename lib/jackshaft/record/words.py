"""The cautions of a record: three lines at its head, and all of them once."""

from __future__ import annotations

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

#: Besides what the chapter of guards and hazards says of the build's own parts.
CAUTIONS = (
    "Do not cut metal from figures that are marked estimate, assumed or from memory. Measure the real part. Once the "
    "part is known, use its maker's own figure.",
)

MAINS = (
    "Mains wiring is work for a licensed electrician under the local code: protective earth, residual-current "
    "protection outdoors, a lockable isolator, and overload protection that needs a deliberate restart.",
)
