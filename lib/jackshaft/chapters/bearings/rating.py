"""The ratings that a bearing's life rests on: the maker's where the build gives them, else the lowest tabulated.

Two generations of the static rating are in print, and each goes with its own table of axial loads. Here it
is settled which one a figure is of, so that no later step can mix them.
"""

from __future__ import annotations

from jackshaft import tables
from jackshaft.chapters.bearings.data import Identity, Rating
from jackshaft.mechanics import bearings
from jackshaft.results.reader import Reader

#: Two figures this close are the same figure, rounded by two editors (common practice, no source).
SAME = 0.015


def rating_of(reader: Reader, identity: Identity) -> Rating | None:
    """Return the ratings to design with, or None where no dynamic rating is known."""
    at = f"bearing[{identity.name}]"
    own = reader.si(f"{at}.dynamic_rating")
    tabled = []
    for size in identity.rivals:
        try:
            tabled.append(bearings.ratings(size.designation))
        except ValueError:
            continue
    first = tabled[0] if tabled and len(tabled) == len(identity.rivals) else None
    static, words, other = static_of(reader, at, first)
    modern = (
        static.value if static is not None and static.generation == "modern" else first.static.value if first else None
    )
    if own is not None:
        return Rating(own, own, static, "the maker's figure", "", words, modern, other)
    if first is None:
        return None
    spread = f"sources run from {reader.show(first.lowest, 'force')} to {reader.show(first.highest, 'force')}"
    return Rating(
        first.dynamic,
        min(r.dynamic for r in tabled),
        static,
        f"{first.words} {spread[0].upper()}{spread[1:]}.",
        source_keys(first.cite),
        words,
        modern,
        other,
    )


def static_of(reader: Reader, at: str, tabled: bearings.Ratings | None) -> tuple:
    """Return C0 with its generation, why it is of that one, and where that was not told C0 as of the other generation.

    Parameters
    ----------
    reader : Reader
        Reads the build.
    at : str
        Key of the bearing.
    tabled : Ratings or None
        What the tables give for the size.
    """
    own, said, f0 = (
        reader.si(f"{at}.static_rating"),
        reader.get(f"{at}.static_rating_is"),
        reader.si(f"{at}.static_rating_factor"),
    )
    if own is None:
        return (None, "", None) if tabled is None else (tabled.static, "newer generation, tabulated with its f0", None)
    factor = f0 if f0 is not None else tabled.static.f0 if tabled is not None else None
    newer, older = bearings.StaticRating(own, "modern", factor), bearings.StaticRating(own, "older")
    if said == "older":
        return older, "the maker's figure, older generation as the build says", None
    if said == "newer":
        return newer, "the maker's figure, newer generation as the build says", None
    if f0 is not None:
        return newer, "the maker's figure, newer generation, since an f0 stands beside it", None
    if (
        tabled is not None
        and abs(own / tabled.static.value - 1) > SAME
        and any(abs(own / v - 1) <= SAME for v in tabled.static_older)
    ):
        return (
            older,
            "the maker's figure; taken as the older generation, since the older tables give the same one",
            newer,
        )
    return newer, "the maker's figure; taken as the newer generation, since nothing is said", older


def source_keys(cite: str) -> str:
    """Return the source keys of a row's citation without its locators."""
    keys = []
    for part in cite.split(";"):
        word = part.split()[0].rstrip(",")
        try:
            tables.source(word)
        except tables.TableError:
            continue
        keys.append(word)
    return "; ".join(keys)


__all__ = ["rating_of", "source_keys", "static_of"]
