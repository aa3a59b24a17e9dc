"""What the bearing finder does, without widgets: a ring looked up, a marking explained, either put into the build.

The ring in hand is worked up as a build of its own with one bearing, so that it is judged by the very rules
that judge a bearing of the machine.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jackshaft.buildfile import Answer as Side
from jackshaft.buildfile import Build, BuildProblems, Problem, describe
from jackshaft.chapters.bearings.data import Identity
from jackshaft.chapters.bearings.filters import Judged, Wish, excluded, judge, judge_all
from jackshaft.chapters.bearings.fitting import wish_of
from jackshaft.chapters.bearings.identity import ranked
from jackshaft.chapters.bearings.shown import KEYS, hours_words, kind_words, off, score, size_words
from jackshaft.mechanics import bearing_id
from jackshaft.results import Reader, work_up
from jackshaft.results.checks import UNDECIDED, Check
from jackshaft.results.keeping import keep
from jackshaft.units import Measure, both

HAND = "in hand"
AT = f"bearing[{HAND}]"
TOOLS = tuple(bearing_id.INSTRUMENTS)
#: What is said of a reading whose instrument nobody named.
TOOL_NOT_SAID = "taken as read with calipers"
CLOSED = ("open", "shielded", "sealed")

#: (key below the bearing, label, hint); the readings have an instrument each.
READINGS = (
    ("bore", "Bore", "1-3/8 in, 34.9 mm"),
    ("outside", "Outside diameter", "2.834 in, 72 mm"),
    ("width", "Width", "0.669 in, 17 mm"),
)
LOOKS = (
    ("closure", "Closed by, as seen", ""),
    ("marking", "Marking, if any is left", "6207-2RS, UCP206-20"),
    ("centre_height", "Shaft height on foot", "1-11/16 in, 42.9 mm"),
    ("bolt_spacing", "Housing bolts apart", "4-3/4 in, 121 mm"),
)
FILTERS = (
    ("room_outside", "Room for the outside", "72 mm"),
    ("room_width", "Room along the shaft", "20 mm"),
    ("must_be", "Must be", ""),
    ("work_speed", "Top speed", "3000 rpm"),
    ("radial_load", "Load across it", "300 lbf"),
    ("axial_load", "Load along the shaft", "50 lbf"),
    ("shock_factor", "Shock factor", "1.5"),
    ("wanted_life", "Hours wanted", "2000 h"),
)
LABELS = {name: label for name, label, _ in (*READINGS, *LOOKS, *FILTERS)}
#: What is kept in the build; the other filters ask things of a place, not of the ring.
KEPT = (
    "bore",
    "outside",
    "width",
    "closure",
    "marking",
    "centre_height",
    "bolt_spacing",
    "room_outside",
    "room_width",
)

MOST, NEAREST = 12, 4
#: A candidate under this share of the likelihood is not listed among those that fit.
LEAST = 0.0005


@dataclass(frozen=True)
class Line:
    """One size of the answer; ``holds`` is empty where nothing was asked of it."""

    number: str
    size: str
    family: str
    score: str
    off: str
    holds: str
    fits: bool
    left_out: bool


@dataclass(frozen=True)
class Answer:
    """What came of a look-up; ``title`` names the lines, ``excluded`` holds (filter, sizes)."""

    asked: tuple[tuple[str, str], ...]
    title: str
    lines: tuple[Line, ...]
    checks: tuple[Check, ...]
    excluded: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


def key_of(name: str) -> str:
    """Return the build key of a field."""
    return name if name == "wanted_life" else f"{AT}.{'closure' if name == 'must_be' else name}"


def in_hand(build: Build, texts: Mapping[str, str], tools: Mapping[str, str]) -> Build:
    """Return a build of one bearing, the ring in hand, in the units and the place of the build that is open.

    Parameters
    ----------
    build : Build
        The build that is open.
    texts : mapping
        Field to shop text; empty ones are not known.
    tools : mapping
        Reading to instrument; where none is named, nothing is said of it and the reading is taken for one of calipers.

    Raises
    ------
    BuildProblems
        With every text that cannot be taken.
    """
    values = {"schema": build.values["schema"], "name": "the ring in hand", f"{AT}.name": HAND}
    values |= {k: build.values[k] for k in ("shown_in", "place") if k in build.values}
    bare = type(build)(values, {"bearing": (HAND,)}, "what was typed")
    changes: dict[str, object] = {}
    for name, text in texts.items():
        text = text.strip()
        if not text or name == "must_be":
            continue
        changes[key_of(name)] = _entry(name, text, tools)
    return bare.with_values(changes)


def _entry(name: str, text: str, tools: Mapping[str, str]) -> object:
    """Return what the build takes for a field: a reading with its instrument, or the text alone."""
    if name not in KEYS.values():
        return text
    return {"value": text, "known": "measured"} | ({"by": tools[name]} if tools.get(name) else {})


def faults_of(error: BuildProblems) -> dict[str, str]:
    """Return what is wrong by field; what belongs to no field stands under an empty name."""
    names = {key_of(n): n for n in LABELS if n != "must_be"}
    found: dict[str, str] = {}
    for p in error.problems:
        name = names.get(p.key.removesuffix(".value"), "")
        found[name] = "; ".join(filter(None, (found.get(name), f"found {p.found}; wanted {p.wanted}")))
    return found


def read_as(trial: Build, name: str) -> str:
    """Return how a field was read, in both unit systems where that says more; empty for words and what is not typed."""
    value = trial.get(key_of(name)) if name != "must_be" else None
    if not isinstance(value, Measure) or value.kind == "number":
        return ""
    if value.kind == "time":
        return hours_words(value.si)
    return both(value.si, value.kind, trial.system) + (f"; {value.note}" if value.note else "")


def look_up(build: Build, texts: Mapping[str, str], tools: Mapping[str, str] | None = None) -> Answer:
    """Look an unknown ring up, or where nothing was read the listed sizes that do what is asked.

    Parameters
    ----------
    build : Build
        The build that is open, for its units and its place.
    texts : mapping
        Field to shop text.
    tools : mapping or None
        Reading to instrument.

    Raises
    ------
    BuildProblems
        With every text that cannot be taken.
    ValueError
        If nothing was typed.
    """
    trial = in_hand(build, texts, tools or {})
    said = {n: t.strip() for n, t in texts.items() if t.strip()}
    asked = tuple(
        (LABELS[n], t + (f", {(tools or {}).get(n) or TOOL_NOT_SAID}" if n in KEYS.values() else ""))
        for n, t in said.items()
    )
    if not said:
        raise ValueError("type a reading, a marking, or what the bearing must do")
    chapter = work_up(trial, ("bearings",)).chapters["bearings"]
    identity, life = chapter.data.identity[HAND], chapter.data.lives[HAND]
    reader = Reader(trial)
    wish = wish_of(reader, life)
    if said.get("must_be"):
        wish = wish._replace(closure=said["must_be"])
    wish = wish._replace(
        radial=reader.si(f"{AT}.radial_load"),
        speed=reader.si(f"{AT}.work_speed"),
        work_speed=reader.si(f"{AT}.work_speed"),
        life=reader.si("wanted_life"),
    )
    filtered = any(n in said for n, _, _ in FILTERS)
    if identity.readings or identity.size is not None:
        title, lines, judged = _candidates(reader, identity, wish, filtered)
    elif filtered:
        title, lines, judged = _free(reader, wish)
    else:
        title, lines, judged = "No size yet: type a reading", (), []
    notes = list(identity.found.notes if identity.found is not None else ())
    if filtered and identity.readings:
        notes.insert(
            0, "What is asked does not change what the ring is; it says whether such a ring goes in and holds."
        )
    decided = len(identity.rivals) == 1
    return Answer(asked, title, lines, _checks(chapter, said, decided), excluded(judged), tuple(notes))


def _checks(chapter, said: Mapping[str, str], decided: bool) -> tuple[Check, ...]:
    """Return the checks that concern a ring in hand: which one it is, and where that is settled what was asked."""
    wanted = ["identity", "number", "housing"]
    if decided:
        wanted.append("room")
    if decided and "work_speed" in said:
        wanted.append("speed")
    if decided and {"radial_load", "axial_load", "wanted_life"} & set(said):
        wanted += ["life", "static", "load", "axial"]
    found = []
    for check in chapter.checks:
        what = check.id.removeprefix("bearings.").split("[")[0]
        if what not in wanted or (
            check.verdict == UNDECIDED
            and what == "identity"
            and not {"bore", "outside", "width", "marking"} & set(said)
        ):
            continue
        missing = tuple(m for m in check.missing if m.startswith(AT) or m == "wanted_life")
        found.append(
            replace(
                check,
                name=check.name.removeprefix(f"{HAND}: "),
                missing=missing,
                remedy=check.remedy.replace("a table of sizes", "the list"),
            )
        )
    return tuple(found)


def _candidates(
    reader: Reader, identity: Identity, wish: Wish, filtered: bool
) -> tuple[str, tuple[Line, ...], list[Judged]]:
    if not identity.readings:
        one = judge(identity.size, wish, reader.system)
        return "The size that the marking names", (_line(reader, one, None, filtered),), [one]
    found = ranked(reader, AT, identity.readings, count=40)
    fits = [c for c in found.candidates if c.fits and c.score >= LEAST][:MOST]
    shown = fits or found.candidates[:NEAREST]
    judged = [judge(c.size, wish, reader.system) for c in shown]
    lines = tuple(_line(reader, one, c, filtered) for one, c in zip(judged, shown, strict=True))
    return (
        ("Sizes it may be, likeliest first" if fits else "No listed size takes every reading; the nearest"),
        lines,
        judged,
    )


def _free(reader: Reader, wish: Wish) -> tuple[str, tuple[Line, ...], list[Judged]]:
    """Nothing was read: every listed size is held against what is asked."""
    judged = judge_all(wish, reader.system, least_od=0.0, most_od=np.inf)
    good = [one for one in judged if not one.fails]
    title = f"{len(good)} of {len(judged)} listed sizes do it" + (f"; the {MOST} smallest" if len(good) > MOST else "")
    return title, tuple(_line(reader, one, None, True) for one in good[:MOST]), judged


def _line(reader: Reader, one: Judged, candidate: bearing_id.Candidate | None, filtered: bool) -> Line:
    size, offs, share = one.size, "", ""
    if candidate is not None:
        offs = ", ".join(f"{LABELS[KEYS[m.dimension]].lower()} {off(reader, m)}" for m in candidate.misses)
        share = score(reader, candidate).shown if candidate.fits else "does not fit"
    return Line(
        size.designation,
        size_words(reader, size),
        kind_words(reader, size),
        share,
        offs,
        one.words if filtered else "",
        candidate is None or candidate.fits,
        bool(one.fails),
    )


def put_in(
    build: Build,
    name: str,
    texts: Mapping[str, str],
    tools: Mapping[str, str] | None = None,
    *,
    settle: Mapping[str, Side] | None = None,
) -> tuple[Build, str]:
    """Write what is known of the ring in hand into the build as a bearing of that name, new or already there.

    Raises
    ------
    BuildProblems
        If the name is no name, nothing was typed, or a text cannot be taken; nothing is written.
    KeyConflict
        If others changed the same in the file, and ``settle`` does not say which is to stand; nothing is written.
    """
    name = name.strip()
    if not name or set(name) & set("[]"):
        raise BuildProblems(
            [
                Problem(
                    build.file, "bearing", f"the name '{name}'" if name else "no name", "a name without square brackets"
                )
            ]
        )
    known = {n: texts[n].strip() for n in KEPT if texts.get(n, "").strip()}
    if not known:
        raise BuildProblems(
            [Problem(build.file, f"bearing[{name}]", "nothing typed", "a reading or a marking to keep")]
        )
    in_hand(build, known, tools or {})
    at, there = f"bearing[{name}]", name in build.names("bearing")
    changes: dict[str, object] = {} if there else {f"{at}.name": name}
    for n, text in known.items():
        changes[f"{at}.{n}"] = _entry(n, text, tools or {})
    kept = keep(build, changes, settle=settle)
    words = ", ".join(describe(f"{at}.{n}")[1].name.replace("_", " ") for n in known)
    return kept, (
        f"{'Put' if there else 'Added bearing'} '{name}' {'right' if there else ''}".strip()
        + f" in {build.file}: {words}. "
        "Run this page again from the top to see it worked up."
    )
