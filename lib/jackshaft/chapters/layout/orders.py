"""Orders of a belt loop in words, with their changes of the build: another belt, a place, other centres."""

from __future__ import annotations

from jackshaft.buildfile.naming import named
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.parts.belt_changes import marked_on
from jackshaft.results.failing import Failing
from jackshaft.units import read

#: Steps in which a shop places a pulley, inch and metric.
STEP = ("1/16 in", "1 mm")
#: Steps of the two coordinates that give centres, away from the other pulley.
FINE = ("0.01 in", "0.1 mm")


def at_of(failing: Failing) -> str:
    """Return the key of the stage that a check is about."""
    return f"stage[{failing.part}]"


def belt_on(failing: Failing, name: str) -> dict[str, str]:
    """Return the changes that put a belt of a marking on."""
    return marked_on(failing, failing.part, name) if name else {**_unmeasured(failing), f"{at_of(failing)}.marked": ""}


def _unmeasured(failing: Failing) -> dict[str, str]:
    """Return the changes that forget the length that was measured."""
    at = at_of(failing)
    return {f"{at}.{k}": "" for k in ("length", "length_is") if failing.build.get(f"{at}.{k}") is not None}


def belts_of(failing: Failing, name: str) -> str:
    """Return belts of a marking with their article: "B65 belts", "an A60 belt"."""
    many = (failing.build.get(f"{at_of(failing)}.belts") or 1) > 1
    return f"{name} belts" if many else f"a{'n' if name[0] in 'AEIO8' else ''} {name} belt"


def spot_order(failing: Failing, layout: StageLayout, k: int, spot) -> tuple[str, dict[str, str]]:
    """Return the order to move a pulley to a place, and its changes."""
    name = layout.pulleys.names[k]
    here = f"{at_of(failing)}.pulley[{name}]"
    x, y = (failing.near(c, "length", *STEP) for c in spot)
    part = named("idler" if k in layout.idlers else "pulley", name)
    part += ", with its shaft," if k not in layout.idlers else ""
    return f"Move {part} to x {x}, y {y}", {f"{here}.x": x, f"{here}.y": y}


def centres_order(failing: Failing, layout: StageLayout, centres: float, steps=STEP) -> tuple[str, dict[str, str]]:
    """Return the order to set the centres of two pulleys, and its changes; more, never less, by what a tape reads."""
    at, p, drawn = at_of(failing), layout.pulleys, layout.as_drawn.places
    text = failing.up(centres, "length", *steps)
    if not layout.places.given:
        return f"Set the centres to {text}", {f"{at}.centres": text}
    share = read(text, "length").si / layout.as_drawn.centres
    i, k, here = p.driver, p.driven, f"{at}.pulley[{p.names[p.driven]}]"
    spot = [float(c[i] + share * (c[k] - c[i])) for c in (drawn.x, drawn.y)]
    home = (float(drawn.x[i]), float(drawn.y[i]))
    x, y = ((failing.up if c > h else failing.down)(c, "length", *FINE) for c, h in zip(spot, home, strict=True))
    return f"Set the centres to {text}: {named('pulley', p.names[k])} at x {x}, y {y}", {f"{here}.x": x, f"{here}.y": y}


__all__ = ["STEP", "at_of", "belt_on", "belts_of", "centres_order", "spot_order"]
