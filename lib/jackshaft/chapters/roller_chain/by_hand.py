"""Numbers of a roller chain to work by hand: sprocket, centres, rating."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.roller_chain.data import ChainData
from jackshaft.results.by_hand import Worked, worked
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import NotKnown


def _first(found: Mapping[str, Findings], wanted) -> ChainData | None:
    return next((c for c in (found["roller-chain"].data or {}).values() if wanted(c)), None)


def sprocket(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The pitch diameter of the first chain's driver."""
    chain = _first(found, lambda c: True)
    if chain is None:
        return NotKnown("No chain of this build is known well enough to work its sprocket by hand.")
    return worked(
        f"{chain.stage.name}, driving sprocket",
        reader.system,
        takes={"pitch": (chain.stage.pitch, "length"), "teeth": chain.stage.teeth[0]},
        says={"diameter": (chain.stage.diameters[0], "length")},
        call="sprocket_pitch_diameter({pitch}, teeth={teeth})",
    )


def centres(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The centres at which the first chain's links are just straight."""
    chain = _first(found, lambda c: c.straight is not None)
    if chain is None:
        return NotKnown("No chain of this build has its number of links written down.")
    stage = chain.stage
    return worked(
        f"{stage.name}, centres for its links",
        reader.system,
        takes={
            "links": chain.links,
            "pitch": (stage.pitch, "length"),
            "small": stage.small,
            "large": stage.large,
        },
        says={"centres": (chain.straight, "length")},
        call="chain_centres({links}, pitch={pitch}, small={small}, large={large})",
    )


def rating(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The rated power of one strand of the first chain at the small sprocket."""
    chain = _first(found, lambda c: c.rating is not None)
    if chain is None:
        return NotKnown("No chain of this build has a rating in the tables, or what it passes is not known yet.")
    stage = chain.stage
    return worked(
        f"{stage.name}, rating of one strand",
        reader.system,
        takes={
            "speed": (chain.load.turning, "rotation"),
            "pitch": (stage.pitch, "length"),
            "teeth": stage.small,
            "k_plate": stage.row["k_plate"],
            "k_roller": stage.row["k_roller"],
        },
        says={"power": (float(chain.rating.power), "power")},
        call="chain_rating({speed}, pitch={pitch}, teeth={teeth}, k_plate={k_plate}, k_roller={k_roller})",
    )


EXAMPLES = {"sprocket": sprocket, "centres": centres, "rating": rating}

__all__ = ["EXAMPLES"]
