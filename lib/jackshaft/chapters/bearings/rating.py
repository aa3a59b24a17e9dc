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
    tabled = [tabulated(size) for size in identity.rivals]
    first = tabled[0] if tabled and None not in tabled else None
    static, words, other = static_of(reader, at, first)
    modern = (
        static.value if static is not None and static.generation == "modern" else first.static.value if first else None
    )
    if own is None and first is None:
        return None
    found = Rating(
        dynamic=own,
        least=own,
        static=static,
        words="the maker's figure",
        source="",
        static_words=words,
        modern=modern,
        other=other,
    )
    if own is not None:
        return found
    spread = f"Sources run from {reader.show(first.lowest, 'force')} to {reader.show(first.highest, 'force')}."
    return found._replace(
        dynamic=first.dynamic,
        least=min(r.dynamic for r in tabled),
        words=f"{first.words} {spread}",
        source=source_keys(first.cite),
    )


def tabulated(size) -> bearings.Ratings | None:
    """Return the ratings of a size, None where no table has them."""
    try:
        return bearings.ratings.si(size.screwed)
    except ValueError:
        return None


def static_of(reader: Reader, at: str, tabled: bearings.Ratings | None) -> tuple:
    """Return C0 with its generation, why it is of that one, and where nobody says so C0 as of the other generation.

    Parameters
    ----------
    reader : Reader
        Reads the build.
    at : str
        Key of the bearing.
    tabled : Ratings or None
        What the tables give for the size.
    """
    own, f0 = reader.si(f"{at}.static_rating"), reader.si(f"{at}.static_rating_factor")
    generation = reader.get(f"{at}.static_rating_is")
    if own is None:
        return (None, "", None) if tabled is None else (tabled.static, "newer generation, tabulated with its f0", None)
    factor = f0 if f0 is not None else tabled.static.f0 if tabled is not None else None
    newer, older = bearings.StaticRating(own, "modern", factor), bearings.StaticRating(own, "older")
    if generation is not None:
        words = f"the maker's figure, {generation} generation as the build file says"
        return (older if generation == "older" else newer), words, None
    if f0 is not None:
        return newer, "the maker's figure, newer generation, since an f0 is given with it", None
    if (
        tabled is not None
        and abs(own / tabled.static.value - 1) > SAME
        and any(abs(own / v - 1) <= SAME for v in tabled.static_older)
    ):
        words = "the maker's figure; taken as the older generation, since the older tables give the same figure"
        return older, words, newer
    words = "the maker's figure; taken as the newer generation, since the build file does not say which"
    return newer, words, older


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
