"""The cautions that a record opens with."""

NO_CERTIFICATE = (
    "This record is no certificate. It is a builder's working paper. Where it differs from local codes, the part "
    "maker's data or the judgement of a licensed engineer or electrician, they hold and this record does not."
)

CAUTIONS = (
    "Rotating parts catch and wind in faster than anybody can react. Every place where a belt runs onto a pulley, "
    "and every turning shaft, key, screw head and joint, wants a guard that cannot be reached through.",
    "Before reaching in: engine off, key out, spark lead or battery off, and wait until everything stands still.",
    "A sprung idler, a tight belt and a raised attachment hold energy. Block or release them before loosening "
    "anything.",
    "Figures marked estimate, assumed or from memory are not to be cut metal from. Measure the real part, "
    "and use the part maker's own figure once the part is known.",
    "Never bridge a seat, neutral, brake or guard switch. Test each of them before every use.",
)

MAINS = (
    "Mains wiring is work for a licensed electrician under the local code: protective earth, residual-current "
    "protection outdoors, a lockable isolator, and overload protection that needs a deliberate restart.",
)

HOW_KNOWN = {
    "measured": "read off the part",
    "plate": "stands on the part",
    "looked up": "from a table or a book",
    "calculated": "worked out from other values",
    "assumed": "taken without having been checked",
    "guessed": "a guess",
    "chosen": "decided in the workbook",
}
