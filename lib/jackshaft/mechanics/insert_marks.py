"""Read the letters of an insert bearing and of the housing it came in: UC206-20, UCP205-16, SA206, UCFL 207."""

from __future__ import annotations

import re
from typing import NamedTuple

SET_SCREWS, COLLAR, SLEEVE = "set screws", "eccentric collar", "adapter sleeve"

#: Letters of the insert, what they say, and what holds it on the shaft. General trade and ISO 9628, from memory;
#: makers have letters of their own, and the collar's side and the ring's width differ between them.
INSERTS = {
    "UC": ("insert bearing on a wide inner ring, held on the shaft by set screws", SET_SCREWS),
    "UEL": ("insert bearing on a wide inner ring, held on the shaft by an eccentric collar", COLLAR),
    "UK": ("insert bearing with a taper bore, held on the shaft by an adapter sleeve", SLEEVE),
    "NA": ("insert bearing on a wide inner ring, held on the shaft by an eccentric collar", COLLAR),
    "HC": ("insert bearing on a wide inner ring, held on the shaft by an eccentric collar", COLLAR),
    "SA": ("insert bearing on a narrow inner ring, held on the shaft by an eccentric collar", COLLAR),
    "SB": ("insert bearing on a narrow inner ring, held on the shaft by set screws", SET_SCREWS),
}
#: Letters of the housing behind them, longest first: what it is called, and the choice of the build file or none.
HOUSINGS = {
    "PA": ("a pillow block on a short foot with tapped holes", ""),
    "PP": ("a pressed-steel pillow block", ""),
    "PFL": ("a pressed-steel flange with two bolts", ""),
    "PF": ("a pressed-steel flange", ""),
    "P": ("a pillow block", "pillow block"),
    "FL": ("an oval flange with two bolts", "oval flange"),
    "FC": ("a round flange", ""),
    "F": ("a square flange with four bolts", "square flange"),
    "T": ("a take-up unit that slides in a frame", "take-up unit"),
    "C": ("a round cartridge", ""),
}
#: Tails of inserts alone, as the suffixes of other bearings.
TAILS = (
    ("D1", "it can be greased again", "other"),
    ("G", "a groove for greasing it again", "other"),
)
PATTERN = re.compile(
    rf"({'|'.join(sorted(INSERTS, key=len, reverse=True))})\s*"
    rf"({'|'.join(sorted(HOUSINGS, key=len, reverse=True))})?[\s-]*(2\d\d)(?!\d)"
)


class InsertMark(NamedTuple):
    """What the letters in front say.

    Parameters
    ----------
    letters : str
        Of the insert alone, "UC".
    code : str
        Size code, "206".
    locking : str
        "set screws", "eccentric collar" or "adapter sleeve".
    housing : str
        Choice of the build file, or empty where there is none.
    words : tuple of str
        Explained piece by piece.
    rest : str
        What stands behind the size.
    """

    letters: str
    code: str
    locking: str
    housing: str
    words: tuple
    rest: str


def split(text):
    """Split the letters and the size off the marking of an insert bearing or of its unit.

    Parameters
    ----------
    text : str
        In capitals.

    Returns
    -------
    InsertMark or None
        None where the marking is no insert's.

    Raises
    ------
    ValueError
        Never; what is no insert gives None.

    Source
    ------
    trade-practice, letters (from memory).
    """
    hit = PATTERN.match(text)
    if hit is None:
        return None
    letters, unit, code = hit.groups()
    meaning, locking = INSERTS[letters]
    called, housing = HOUSINGS[unit] if unit else ("", "")
    words = [f"{letters}{code}: {meaning}"]
    words += [f"{unit}: it came in {called}"] if unit else []
    if letters not in ("UC", "UK"):
        words.append(f"the tables hold UC{code}, with the same balls: measure the width, which differs between makers")
    return InsertMark(letters, code, locking, housing, tuple(words), text[hit.end() :])
