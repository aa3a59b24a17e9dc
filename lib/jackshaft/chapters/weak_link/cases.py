"""The loads that the drive must carry: at work, at a restart, in a choke. Which link gives in each, if one does."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

from jackshaft.chapters.weak_link.data import GUARDS, CaseFound, ChainData, Link, steady
from jackshaft.chapters.weak_link.slipping import let_through
from jackshaft.parts.works import factor_key
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, UNDECIDED, Check, Table, grade, reaches, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number

SOURCE = "own-derivation, every torque carried over to one shaft"
HOLDS = ("chain.holds", "weakest part at the working load")
START = ("chain.start", "weakest part at a restart")
PEAK = ("chain.peak", "weakest part at the peak load (a choke)")


def number(reader: Reader, link: Link, words: str = "{}") -> Number:
    """Return the torque that a link gives at, with its band, which may have no upper end."""
    if not isfinite(link.high):
        words = words.replace("{low} to {high}", "{low} and more")
        return reader.number(link.likely, "torque", words, low=float(link.low))
    return reader.number(link.likely, "torque", words, low=float(link.low), high=float(link.high))


def shown(reader: Reader, torque: float) -> str:
    """Return a torque in words."""
    return reader.show(torque, "torque")


def left_words(data: ChainData) -> str:
    """Return the sentence that names what the chain leaves out; nothing where it leaves out nothing of weight."""
    names = ", ".join(part.name for part in data.lacking)
    return f" Left out, for it is not known what they give at: {names}." if names else ""


def add(draft: Draft, data: ChainData, check: Check) -> str:
    """Add a check, and return its verdict; what a part left out may make worse is not said."""
    if check.verdict in (GO, CAUTION) and data.lacking:
        known = "What is known would hold." if check.verdict == GO else f"What is known is a {check.verdict}."
        check = Check(
            check.id,
            check.name,
            check.found,
            check.wanted,
            UNDECIDED,
            f"{known} {check.reason}{left_words(data)}",
            missing=data.missing,
        )
    draft.checks.append(check)
    return check.verdict


def checks(draft: Draft, reader: Reader, data: ChainData, lacks: tuple[str, ...]) -> list[CaseFound]:
    """Add the verdicts on work, restart and choke."""
    cases = [
        (HOLDS, "work", data.working, lacks),
        (START, "restart", data.start, _lacks(reader, factor_key(reader, "start")) or lacks),
        (PEAK, "choke", data.peak, _lacks(reader, factor_key(reader, "peak")) or lacks),
    ]
    found = []
    for (id, name), case, load, keys in cases:
        if load is None:
            # a machine that does not say how hard it starts or chokes says so once, at the first that is missing
            draft.missing(reader, id, name, keys, f"The torque {AT[case]} is not known yet.")
            found.append(CaseFound(case, None, "not known", "", UNDECIDED))
        else:
            found.append(_case(draft, reader, data, (id, name), case, load))
    return found


AT = {"work": "at work", "restart": "at a restart", "choke": "in a choke"}


def _lacks(reader: Reader, key: str) -> tuple[str, ...]:
    return () if reader.get(key) is not None else (key,)


def _graded(link: Link, load: float, case: str, data: ChainData) -> str:
    """Return the verdict on one link under a load: a pin or slip clutch that gives in a choke does its work.

    What holds the load of a restart and not all that the motor brings is a caution.
    """
    verdict = grade(likely=link.likely, bad=link.low, limit=load)
    if case == "restart" and data.surge is not None and not reaches(link.low, let_through(link, data.surge, data)):
        verdict = max(verdict, CAUTION, key=ORDER.index)
    return CAUTION if verdict == STOP and case == "choke" and link.kind in GUARDS else verdict


def _case(draft: Draft, reader: Reader, data: ChainData, named: tuple[str, str], case: str, load: float) -> CaseFound:
    """Add the verdict on one load, and return what gives."""
    links = [link.under({"restart": "start", "choke": "peak"}.get(case, case)) for link in data.giving]
    verdicts = [_graded(link, load, case, data) for link in links]
    verdicts = [UNDECIDED if k.untold and v != GO else v for k, v in zip(links, verdicts, strict=True)]
    worst = max(verdicts, key=ORDER.index)
    first = min((k for k, v in zip(links, verdicts, strict=True) if v == worst), key=lambda k: steady(k.low))
    if worst == GO:
        first = min(links, key=lambda k: steady(k.likely))
    most = first.branch * load
    first = first._replace(
        low=first.low * first.branch, likely=first.likely * first.branch, high=first.high * first.branch
    )
    if worst == UNDECIDED:
        draft.missing(
            reader, *named, first.untold, f"How much of the load goes through this is not known: {first.name}."
        )
        return CaseFound(case, load, "not known", "", UNDECIDED)
    reason = f"Nothing gives. The weakest: {first.name}, from {shown(reader, first.low)} on."
    if worst != GO:
        sure = "gives" if first.likely < most else f"may give, from {shown(reader, first.low)} on"
        meant = " It is made to give, but not in this." if first.meant else ""
        reason = f"What {sure}: {first.name}. Then {first.gives}.{meant}"
    if first.branch != 1.0:
        reason += f" Of the {shown(reader, load)} that the machine takes, {shown(reader, most)} goes through this."
    if case == "restart" and data.surge is not None and data.surge > load:
        reason += (
            f" As it starts, the motor brings up to {shown(reader, data.surge)}; what turns takes its part of that."
        )
    known = reader.how("work.power")
    verdict = add(
        draft,
        data,
        Check(
            *named,
            number(reader, first, f"{first.name} at {{}}"),
            reader.number(most, "torque", "{} or more", known=known),
            worst,
            reason + (left_words(data) if worst == STOP else ""),
            "" if worst == GO else _remedy(first),
            SOURCE,
        ),
    )
    gives = "nothing" if worst == GO else first.name
    return CaseFound(case, load, gives, "" if worst == GO else "yes" if first.meant else "no", verdict)


def _remedy(first: Link) -> str:
    """Return the advice that holds for any link that must carry more."""
    if first.kind == "shear pin":
        return (
            "Ask the maker of the work for the pin that belongs there. A stronger pin only where everything else stays "
            "stronger still."
        )
    if first.kind == "slip clutch":
        return "Set it higher, as far as its maker allows. Only where everything else stays stronger still."
    return f"Strengthen the weakest part first: {first.name}."


def table(draft: Draft, reader: Reader, found: Sequence[CaseFound]) -> None:
    """Add the table of load cases."""
    rows = [
        (
            case.name,
            "until something gives" if case.name == "jam" else reader.cell(case.torque, "torque"),
            case.gives,
            case.meant,
            case.verdict,
        )
        for case in found
    ]
    if rows:
        draft.tables.append(
            Table(
                "Load case by load case",
                ("case", "torque", "what gives", "made to give", "verdict"),
                tuple(rows),
                "A jam is the shaft of the work stopped dead: engine, flywheel and large pulleys feed the torque until "
                "something gives. While the clutch slips the drive carries the clutch's torque, not the load's.",
            )
        )


__all__ = ["HOLDS", "PEAK", "SOURCE", "START", "add", "checks", "left_words", "number", "shown", "table", "undecided"]
