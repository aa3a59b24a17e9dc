"""Numbers of bearings that are none of those listed here: what kind of bearing each is."""

from __future__ import annotations

import re

#: Numbers of bearings that no list here has, though one of the same three sizes may be in it: from memory.
OTHER_KINDS = (
    (r"(NU|NJ|NUP|NF|NN|N|RNU|RN)\d{3,}", "cylindrical roller bearing"),
    (r"(NA|RNA|NKI?|HK|BK)\d{2,}", "needle roller bearing"),
    (r"QJ\d{3,}", "four-point contact ball bearing"),
    (r"7[0-4]\d\d|7[189]\d{3}", "angular contact ball bearing"),
    (r"3[0-3]\d{3}", "tapered roller bearing"),
    (r"2[1-4]\d{3}", "spherical roller bearing"),
    (r"5[1-4]\d{3}", "thrust ball bearing"),
    (r"(29[2-4]|8[1279][1-4])\d\d", "roller thrust bearing"),
    (r"1[023]\d\d|2[23]\d\d|108|126|127|129|135", "self-aligning ball bearing"),
)


def other_kind(marking):
    """Return the kind of bearing that a marking names where it is none that decode() knows; empty where it names none.

    Parameters
    ----------
    marking : str
        As stamped; a maker's name or letters may stand before the number.

    Returns
    -------
    str
        The kind, in words.

    Source
    ------
    trade-practice, numbers by ISO 15, ISO 104 and ISO 355 (from memory)
    """
    words = str(marking).upper().replace("-", " ").replace("_", " ").split()
    joined = {"".join(words[i : i + 2]) for i in range(len(words))}
    for pattern, kind in OTHER_KINDS:
        if any(re.match(rf"({pattern})(?!\d)", word) for word in [*words, *joined]):
            return kind
    return ""
