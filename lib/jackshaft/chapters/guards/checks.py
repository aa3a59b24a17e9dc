"""What is judged about guards: whether each stage has one that a hand cannot reach through, and shafts are covered."""

from __future__ import annotations

from math import inf

from jackshaft.chapters.clutch.stopping import cuts
from jackshaft.mechanics.guards import reach_through
from jackshaft.parts.belt_stage import drives_unsaid, shafts_driven
from jackshaft.results.checks import CAUTION, GO, STOP, reaches
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

SOURCE = "ISO 13857, table 4, as a guard supplier restates it"
CODE = "29-cfr-1910-219"
TOOL = "29 CFR 1910.212, point of operation; from memory"
#: Width of an opening, mm, from which a guard counts as open.
OPEN = 120.0


def stage_guard(draft: Draft, reader: Reader, name: str) -> None:
    """Judge the guard of a stage: what it is, and whether a hand reaches through its openings."""
    at, kind = f"stage[{name}]", reader.get(f"stage[{name}].kind")
    if kind == "gearbox":
        return  # its housing is its guard
    named = f"guards.stage[{name}]", f"{name}: guard"
    told, wanted = reader.get(f"{at}.guard"), "a guard that nobody can reach through"
    if told is None:
        words = "Whether anything keeps hands from it is not written down."
        draft.missing(reader, *named, (f"{at}.guard",), words, limit=wanted)
        return
    if told == "mesh or slots":
        _openings(draft, reader, name, named)
        return
    if told == "closed":
        words = "It is closed all round, so that hands, hair and cords stay out."
        draft.check(*named, told, wanted, GO, words, "", CODE)
    elif told == "nips only":
        words = "Only the places where it runs together are covered. Hair and sleeves still wind on elsewhere."
        draft.check(*named, told, wanted, CAUTION, words, "Close the guard all round.", CODE)
    else:
        words = "A belt, chain or gear within reach takes a hand in faster than anybody can react."
        remedy = "Build a guard round it before it runs, fixed so that a tool is needed to take it off."
        draft.check(*named, told, wanted, STOP, words, remedy, CODE, guards=True)


def _openings(draft: Draft, reader: Reader, name: str, named: tuple[str, str]) -> None:
    at = f"stage[{name}]"
    lacks = reader.unknown(f"{at}.guard_opening", f"{at}.guard_shape", f"{at}.guard_distance")
    if lacks:
        words = "Whether a finger reaches through its openings to what turns is not known yet."
        draft.missing(reader, *named, lacks, words)
        return
    width, far = (reader.si(f"{at}.guard_{k}") for k in ("opening", "distance"))
    shape = reader.get(f"{at}.guard_shape")
    found = reader.number(far, "length", f"openings of {reader.show(width, 'length')}, {{}} from what turns")
    if width * 1000.0 > OPEN:
        words = "Openings as wide as this count as no guard at all."
        draft.check(*named, found, "", STOP, words, "Close the guard, or fit a finer mesh.", SOURCE, guards=True)
        return
    # at their bad ends the openings are as wide, and as near to what turns, as their allowances leave open
    wide, near = reader.ends(f"{at}.guard_opening")[1], reader.ends(f"{at}.guard_distance")[0]
    least = float(reach_through.si(width, shape=shape))
    least_bad = inf if wide * 1000.0 > OPEN else float(reach_through.si(wide, shape=shape))
    wanted = reader.number(least, "length", "{} or more from what turns", source="iso13857")
    holds, bad = reaches(far, least, guards=True), reaches(near, least_bad, guards=True)
    verdict = GO if bad else CAUTION if holds else STOP
    through, reach = (reader.show(v, "length") for v in (width, least))
    words = f"Through {shape} openings of {through} a grown hand reaches {reach}. A child's reaches further."
    if verdict == CAUTION:
        ends = reader.show(wide, "length"), reader.show(near, "length")
        words += f" They may be {ends[0]} wide, and only {ends[1]} from what turns."
    remedy = "" if verdict == GO else "Fit a finer mesh, or set the guard further off."
    draft.check(*named, found, wanted, verdict, words, remedy, SOURCE, guards=True)


def shafts_covered(draft: Draft, reader: Reader) -> None:
    """Judge whether the shafts with their ends, keys and screw heads are covered; one check for all of them."""
    names = reader.names("shaft")
    if not names or not reader.names("stage"):
        return
    named = "guards.shafts", "shafts, their ends, keys and screw heads"
    wanted = "covered, or within a guard"
    open_ = [n for n in names if reader.get(f"shaft[{n}].covered") is False]
    lacks = [f"shaft[{n}].covered" for n in names if reader.get(f"shaft[{n}].covered") is None]
    # a stage turns a shaft, whether or not the build names it
    for stage in reader.names("stage"):
        lacks += drives_unsaid(reader, stage) or (() if shafts_driven(reader, stage) else (f"stage[{stage}].to",))
    words = "A turning shaft winds on hair, cords and sleeves, a smooth one too."
    if open_:
        remedy = "Cover each shaft; an end may stick out by half its diameter, if it is smooth."
        which = f"open: {', '.join(open_)}"
        draft.check(*named, which, wanted, STOP, words, remedy, CODE, guards=True)
    elif lacks:
        draft.missing(
            reader, *named, tuple(lacks), f"{words} Whether they are covered is not written down.", limit=wanted
        )
    else:
        draft.check(*named, "covered", wanted, GO, words, "", CODE, guards=True)


def work_covered(draft: Draft, reader: Reader) -> None:
    """Judge whether work that cuts or throws is covered but for the part that works."""
    danger = cuts(reader)
    if danger is False or not reader.has("work"):
        return
    named = "guards.work", "work that cuts or throws"
    wanted = "covered but for the part that works"
    words = "It cuts, or throws what it meets, and so does a piece of it that breaks off."
    covered = reader.get("work.covered")
    if danger is None and not covered:
        words = "Whether it cuts or throws is not written down. If it does, a guard has to cover it."
        draft.missing(reader, *named, ("work.cuts",), words, limit=wanted)
        return
    if covered is None:
        words += " Whether a guard covers it is not written down."
        draft.missing(reader, *named, ("work.covered",), words, limit=wanted)
        return
    remedy = (
        "" if covered else "Guard all of it but the part that works, with a fixed guard that stops what breaks off."
    )
    draft.check(
        *named, "covered" if covered else "open", wanted, GO if covered else STOP, words, remedy, CODE, guards=True
    )


__all__ = ["shafts_covered", "stage_guard", "work_covered"]
