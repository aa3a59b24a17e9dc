"""Read the marking on a bearing: what each letter and figure of it says.

The trade's designation: type and dimension series, bore code, then suffixes for
seals, shields, ring groove, clearance, cage and an inch bore in sixteenths.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from jackshaft import tables
from jackshaft.units import INCH, OutOfRange, fraction

SIXTEENTH = INCH / 16
SMALL_CODES = {"00": 10, "01": 12, "02": 15, "03": 17}

# Suffix, meaning, what it stands for; longest first where one begins another. Those of table bearing_suffixes
# and a few more from memory. A maker's own letters are left to the maker's list.
SUFFIXES = (
    ("2RS", "a contact seal on both sides", "two seals"),
    ("2RZ", "a low-friction seal that does not touch, on both sides", "two low-friction seals"),
    (
        "ZNR",
        "a shield on one side, a groove with its retaining ring on the other",
        "one shield+groove and ring",
    ),
    ("2Z", "a shield on both sides", "two shields"),
    ("ZZ", "a shield on both sides", "two shields"),
    ("RS", "a contact seal on one side", "one seal"),
    ("RZ", "a low-friction seal on one side", "one low-friction seal"),
    ("NR", "a groove in the outer ring with its retaining ring", "groove and ring"),
    ("W33", "a lubrication groove and holes in the outer ring", "other"),
    ("TN9", "a polyamide cage, not above about 120 °C", "cage"),
    ("TN", "a polyamide cage, not above about 120 °C", "cage"),
    ("MB", "a machined brass cage", "cage"),
    ("M", "a machined brass cage", "cage"),
    ("C2", "radial clearance below normal", "C2"),
    ("C3", "radial clearance above normal", "C3"),
    ("C4", "radial clearance above C3", "C4"),
    ("C5", "radial clearance above C4", "C5"),
    ("CN", "normal radial clearance", "CN"),
    ("C0", "normal radial clearance", "CN"),
    ("P6", "closer tolerances than normal", "precision"),
    ("P5", "closer tolerances than P6", "precision"),
    ("HT", "rings stabilised for heat", "other"),
    ("S1", "rings stabilised for 200 °C", "other"),
    ("Z", "a shield on one side", "one shield"),
    ("K", "a taper bore 1:12", "taper bore"),
    ("N", "a groove in the outer ring for a retaining ring, the ring itself missing", "groove"),
)
CLEARANCES = ("C2", "CN", "C3", "C4", "C5")

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
INSERT_TAILS = (
    ("D1", "it can be greased again", "other"),
    ("G", "a groove for greasing it again", "other"),
)
INSERT_PATTERN = re.compile(
    rf"({'|'.join(sorted(INSERTS, key=len, reverse=True))})\s*"
    rf"({'|'.join(sorted(HOUSINGS, key=len, reverse=True))})?[\s-]*(2\d\d)(?!\d)"
)


class Marking(NamedTuple):
    """What a marking says.

    Parameters
    ----------
    text : str
        As read, tidied.
    designation : str
        The listed size it names, with an inch bore where it has one.
    bore, od, width : float or None
        Nominal dimensions, m; None where the size is not listed.
    closure : str
        "open", "two shields", "one shield", "two seals", "one seal", "two low-friction seals", ...
    ring_groove : str
        "none", "groove" or "groove and ring".
    clearance : str
        "CN" unless it says otherwise.
    taper_bore : bool
        True for a 1:12 bore, which sits on a sleeve and not on a plain shaft.
    words : tuple of str
        The marking explained, piece by piece.
    not_understood : tuple of str
        Pieces that mean nothing here: ask the maker's list.
    locking : str
        What holds an insert bearing on its shaft, "set screws", ...; empty for any other bearing.
    housing : str
        The housing it came in, "pillow block", ...; empty where the marking does not say.
    asked_as : str
        How an insert is asked for, letters and size, "SA206-20"; empty for any other bearing.
    """

    text: str
    designation: str
    bore: float | None
    od: float | None
    width: float | None
    closure: str
    ring_groove: str
    clearance: str
    taper_bore: bool
    words: tuple
    not_understood: tuple
    locking: str = ""
    housing: str = ""
    asked_as: str = ""


def decode(marking):
    """Explain a marking and give its size.

    Parameters
    ----------
    marking : str
        As stamped, for example "6205-2RS C3", "6203-10-2RS", "62/22", "R8ZZ", "UC206-20", "UCP205-16".

    Returns
    -------
    Marking
        Size, closure, groove, clearance and the explanation in words.

    Raises
    ------
    ValueError
        If no bearing number is found in it.

    Source
    ------
    trade-practice, suffixes (from memory); sizes: table bearings.
    """
    text = " ".join(str(marking).upper().replace("_", " ").split())
    insert = _insert(text)
    base, rest, words = _base(text) if insert is None else (f"UC{insert.code}", insert.rest, insert.words)
    rows = _listed()
    row = rows.get(base)
    inch, rest = _inch_bore(base, rest, row)
    found, unknown = _suffixes(rest, SUFFIXES if insert is None else (*INSERT_TAILS, *SUFFIXES))
    closure = next((c.split("+")[0] for _, _, c in found if "seal" in c or "shield" in c), "open")
    sides = [c for _, _, c in found if c in ("one shield", "one seal")]
    if len(sides) == 2:
        closure = f"{sides[0]} and {sides[1]}"
    groove = next((c.split("+")[-1] for _, _, c in found if "groove" in c), "none")
    if closure != "open" and f"{base} CAPPED" in rows:
        row = rows[f"{base} CAPPED"]
        words.append(
            "with shields or seals this inch size is wider than the open one"
            if row["width_mm"] > rows[base]["width_mm"]
            else "the open and the closed one have the same width here"
        )
    elif closure != "open" and row is not None and row["capping"] == "open":
        row = None
        words.append("the closed one of this size is wider than the open one that is listed")
    bore = inch * SIXTEENTH if inch else row["bore_mm"] * 1e-3 if row else _bore_from_code(base)
    if inch:
        words.append(f"-{inch}: bore {fraction(inch * SIXTEENTH)}, in sixteenths, in this metric body")
        if bore > (row["bore_mm"] + 0.2 * (row["od_mm"] - row["bore_mm"])) * 1e-3:
            words.append("that bore leaves no wall under the balls: read the marking again")
    words += [f"{suffix}: {meaning}" for suffix, meaning, _ in found]
    words += [f"{piece}: not listed. Many makers have letters of their own: look at both faces" for piece in unknown]
    if row is None:
        words.append("this size is not in the tables: take its outside diameter and width from the maker")
    name = row["designation"] if row else base
    return Marking(
        text=text,
        designation=f"{base}-{inch}" if inch else name,
        bore=bore,
        od=row and row["od_mm"] * 1e-3,
        width=row and row["width_mm"] * 1e-3,
        closure=closure,
        ring_groove=groove,
        clearance=next((c for _, _, c in found if c in CLEARANCES), "CN"),
        taper_bore=any(c == "taper bore" for _, _, c in found) or (insert is not None and insert.letters == "UK"),
        words=tuple(words),
        not_understood=unknown,
        locking="" if insert is None else insert.locking,
        housing="" if insert is None else insert.housing,
        asked_as="" if insert is None else f"{insert.letters}{insert.code}" + (f"-{inch}" if inch else ""),
    )


def marking_for(designation, *, closure="open", ring_groove="none", clearance="CN"):
    """Write the marking to ask a counter for.

    Parameters
    ----------
    designation : str
        Listed size, with an inch bore as "6203-10".
    closure : str
        "open", "two shields", "one shield", "two seals", "one seal" or "two low-friction seals".
    ring_groove : str
        "none", "groove" or "groove and ring".
    clearance : str
        "C2", "CN", "C3", "C4" or "C5".

    Returns
    -------
    str
        The marking; `decode` reads it back to the same.

    Raises
    ------
    ValueError
        If a wish has no letters of its own.

    Source
    ------
    From memory, general trade.
    """
    letters = {
        "open": "",
        "two shields": "2Z",
        "one shield": "Z",
        "two seals": "2RS",
        "one seal": "RS",
        "two low-friction seals": "2RZ",
    }
    rings = {"none": "", "groove": "N", "groove and ring": "NR"}
    for wish, known in ((closure, letters), (ring_groove, rings), (clearance, CLEARANCES)):
        if wish not in known:
            raise OutOfRange(f"{wish!r} has no letters of its own; choose {', '.join(known)}")
    parts = [p for p in (designation.split()[0], letters[closure], rings[ring_groove]) if p]
    return "-".join(parts) + (f" {clearance}" if clearance != "CN" else "")


@tables.once
def _listed():
    """Rows under every number they go by; a closed inch size under its open number with CAPPED behind it."""
    out = {}
    for row in tables.table("bearings"):
        for name in [row["designation"], *(row["also_called"] or "").split(";")]:
            out[name.upper()] = row
    return out


class _Insert(NamedTuple):
    """What the letters of an insert say: they, its size code, how it locks, its housing, words, and what is left."""

    letters: str
    code: str
    locking: str
    housing: str
    words: list
    rest: str


def _insert(text):
    """Split the letters and the size off the marking of an insert bearing or of its unit; None for any other."""
    hit = INSERT_PATTERN.match(text)
    if hit is None:
        return None
    letters, unit, code = hit.groups()
    meaning, locking = INSERTS[letters]
    called, housing = HOUSINGS[unit] if unit else ("", "")
    words = [f"{letters}{code}: {meaning}"]
    words += [f"{unit}: in {called}"] if unit else []
    if letters not in ("UC", "UK"):
        words.append(f"the tables hold UC{code}, with the same balls: measure the width, which differs between makers")
    return _Insert(letters=letters, code=code, locking=locking, housing=housing, words=words, rest=text[hit.end() :])


def _base(text):
    """Split off the number that names the size, and explain its figures."""
    patterns = (
        (r"(99502)", "an inch size of its own: 5/8 x 1-3/8 in"),
        (r"(R\d+A?)(?!\d)", "inch series, the figure is the bore in sixteenths of an inch"),
        (r"(6[0-4]/\d\d|6[12]8/\d\d|6[12]9/\d\d)", None),
        (r"(6[0-4]\d\d(?!\d)|6[0-4]\d{3}|61[89]\d\d|16[01]\d\d|6[89]\d\d)", None),
        (r"(16\d\d)(?!\d)", "inch size of the 1600 family: the table gives its dimensions"),
        (r"([35]2\d\d)", "two rows of balls at an angle: takes axial load both ways"),
        (r"(6\d\d?|60\d)(?!\d)", None),
    )
    for pattern, meaning in patterns:
        hit = re.match(pattern, text)
        if hit:
            base = hit.group(1)
            rest = text[hit.end() :]
            if base == "99502":
                return "99502H", rest.removeprefix("H"), [f"{base}: {meaning}"]
            return base, rest, [f"{base}: {meaning}"] if meaning else _figures(base)
    raise OutOfRange(
        f"no bearing number was found in {text!r}; read the ring again, or measure bore, outside and width"
    )


def _figures(base):
    head = "6" if base[0] == "6" else ""
    words = (
        ["6: deep-groove ball bearing, one row"]
        if head
        else ["16: deep-groove ball bearing, thin section (the leading 6 is left out)"]
    )
    bore = _bore_from_code(base)
    series = base.split("/")[0] if "/" in base else base[:-2] if len(base) > 3 else base[:2]
    loads = {
        "8": "extra light",
        "9": "very light",
        "0": "light",
        "1": "light",
        "2": "light to medium",
        "3": "medium",
        "4": "heavy",
    }
    diameter = series[-1] if len(series) > 1 else "0"
    width = {"622": "wide, ", "623": "wide, ", "630": "wide, "}.get(series, "")
    words.append(f"{series}: dimension series, {width}{loads.get(diameter, 'small')} section")
    words.append(f"{base[len(series) :]}: bore {bore * 1e3:g} mm")
    return words


def _bore_from_code(base):
    """Bore in m from the last figures of a metric number, or None."""
    if "/" in base:
        return float(base.split("/")[1]) * 1e-3
    if not base.isdigit():
        return None
    if len(base) == 3:
        return float(base[-1]) * 1e-3
    code = base[-2:]
    return SMALL_CODES.get(code, int(code) * 5) * 1e-3


def _inch_bore(base, rest, row):
    """A figure behind a metric or insert number is the bore in sixteenths."""
    hit = re.match(r"[-\s/]*(\d{1,2})(?![\dRZ])", rest)
    if hit and row is not None and row["units"] == "metric":
        return int(hit.group(1)), rest[hit.end() :]
    hit = re.search(r"-(\d{1,2})(?![\dRZ])(?=$|[-\s/])", rest)
    if hit and row is not None and row["units"] == "metric":
        return int(hit.group(1)), rest[: hit.start()] + " " + rest[hit.end() :]
    return None, rest


def _suffixes(rest, known):
    """Take the suffixes off one after the other; what is left over is not understood."""
    found, unknown = [], []
    for piece in re.split(r"[-\s/.]+", rest):
        while piece:
            hit = next((s for s in known if piece.startswith(s[0])), None)
            if hit is None:
                unknown.append(piece)
                break
            found.append(hit)
            piece = piece[len(hit[0]) :]
    return found, tuple(unknown)
