"""What the numbers of teeth of gears say by themselves: fewer than practice has."""

from __future__ import annotations

from jackshaft.results.checks import CAUTION
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

SOURCE = "common practice, no source"
#: Teeth below which a gear is undercut so far that little is left of its tooth.
FEW_GEAR = 8
#: Teeth that a ring has more than its pinion, so that their tips pass each other.
RING_MORE = 12


def teeth_checks(draft: Draft, reader: Reader) -> None:
    """Add a caution or a stop for each gear pair whose teeth are fewer than practice has."""
    for name in reader.names("stage"):
        at = f"stage[{name}]"
        counts = [n for n in (reader.get(f"{at}.driver_teeth"), reader.get(f"{at}.driven_teeth")) if n is not None]
        if not counts:
            continue
        kind, least, more = reader.get(f"{at}.kind"), min(counts), max(counts) - min(counts)
        if kind == "gear" and least < FEW_GEAR:
            verdict, words = CAUTION, f"A gear of {least} teeth is undercut or cut specially, and weak at its root."
            named, value, limit = ("ratio.small-gear", "teeth of the small gear"), least, FEW_GEAR
            remedy = "Fit gears with more teeth."
        elif kind == "gear" and reader.get(f"{at}.internal") and len(counts) == 2 and more < RING_MORE:
            verdict, words = CAUTION, f"The ring has {more} teeth more than its pinion: their tips may foul each other."
            named, value, limit = ("ratio.ring-gear", "teeth of the ring over its pinion"), more, RING_MORE
            remedy = "Fit a smaller pinion or a larger ring, unless the maker of both made them for each other."
        else:
            continue
        draft.check(
            f"{named[0]}[{name}]",
            f"{name}: {named[1]}",
            str(value),
            f"{limit} or more",
            verdict,
            words,
            remedy,
            SOURCE,
        )


__all__ = ["teeth_checks"]
