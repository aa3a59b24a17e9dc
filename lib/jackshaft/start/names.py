"""The name of a build as the name of its file."""

from __future__ import annotations

import re
import unicodedata

from jackshaft.buildfile import BuildProblems, Problem

#: Letters of a file's name; what is written beside it while it is saved has a longer one.
LONGEST = 100
#: Letters that no rule of Unicode takes apart, and those that are written with an e beside them.
SPELLED = str.maketrans(
    {"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss", "æ": "ae", "œ": "oe", "ø": "oe", "å": "aa"}
    | {"ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i"}
)
#: Names that Windows keeps for devices, whatever comes after a point.
RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}


def file_name(name: str) -> str:
    """Return the stem of a build's file made from its name: small letters a to z, digits, underscores.

    Letters with marks are written without them, or as is usual where they cannot be printed: "ae" for "ä".

    Raises
    ------
    BuildProblems
        If nothing is left of the name, it is too long for a file, or Windows could not have such a file.
    """
    letters = unicodedata.normalize("NFC", name).lower().translate(SPELLED)
    letters = "".join(c for c in unicodedata.normalize("NFKD", letters) if not unicodedata.combining(c))
    stem = re.sub(r"[^a-z0-9]+", "_", letters.lower()).strip("_")
    if not stem:
        wanted = "a name with letters or digits in it that its file can be called by: a to z, 0 to 9"
        raise BuildProblems([Problem("new build", "name", f"'{name}'", wanted)])
    if len(stem) > LONGEST:
        raise BuildProblems([Problem("new build", "name", f"{len(stem)} letters", f"a name of at most {LONGEST}")])
    if stem in RESERVED:
        wanted = f"another name, such as '{name.strip()} 1': Windows keeps this one for a device"
        raise BuildProblems([Problem("new build", "name", f"'{name.strip()}'", wanted)])
    return stem


__all__ = ["LONGEST", "RESERVED", "file_name"]
