"""What a belt section may be used for."""

from typing import NamedTuple

from jackshaft.units import at_least, at_most, show


class Allowed(NamedTuple):
    """Whether a section may be used in a way, and why or why not."""

    allowed: bool | None
    why: str
    known: str


def back_bend(belt):
    """Tell whether a belt may bend backwards over a pulley.

    Parameters
    ----------
    belt : Section
        The belt.

    Returns
    -------
    Allowed
        There is no published life penalty for reverse bending, so none is put into the numbers.

    Source
    ------
    belt-maintenance, p. 24 (back-side idlers); vflat-hints (belts on flats)
    """
    if belt.family in ("double-V", "V-ribbed"):
        known = "read" if belt.family == "double-V" else "from memory"
        return Allowed(True, f"{belt.family} belts are made to bend both ways", known)
    if "cogged" in belt.family:
        return Allowed(
            True,
            "a plain back may run on a flat idler of at least 1.5 times the smallest sheave, but the cog roots crack "
            "sooner. Never run the cogged side on a flat pulley",
            "read",
        )
    return Allowed(
        True,
        "allowed only over a flat back idler of at least 1.5 times the smallest sheave, in the slack "
        "strand. It shortens the belt's life, and by how much nobody has published",
        "read",
    )


def bottom_on_flat(belt):
    """Tell whether a belt may run with its bottom on a flat pulley.

    Parameters
    ----------
    belt : Section
        The belt.

    Returns
    -------
    Allowed

    Source
    ------
    vflat-hints, section choice for V-flat drives
    """
    if belt.family == "narrow":
        return Allowed(
            False,
            "a single narrow belt stands on its narrow bottom and rolls over: do not run it on a flat pulley",
            "read",
        )
    if "cogged" in belt.family:
        return Allowed(False, "the cogs of a cogged belt carry nothing on a flat pulley", "read")
    if belt.family == "double-V":
        return Allowed(
            False,
            "a double-V belt touches a flat pulley with a narrow face on either side: give it grooves",
            "common practice",
        )
    return Allowed(True, "classical and light-duty belts may run on a flat pulley, if it is the larger of two", "read")


def clutching(belt):
    """Tell whether a belt may be engaged by tightening an idler against it.

    Parameters
    ----------
    belt : Section
        The belt.

    Returns
    -------
    Allowed

    Source
    ------
    common practice, no source
    """
    if belt.family == "V-ribbed":
        return Allowed(False, "a ribbed belt loses its ribs when it slips as it is engaged", "common practice")
    if belt.family == "narrow" or "cogged" in belt.family:
        return Allowed(
            False,
            "raw-edge and narrow belts grab and glaze when they slip as they are engaged: take a wrapped belt made for "
            "clutching",
            "common practice",
        )
    return Allowed(
        None,
        "only a wrapped belt that its maker calls fit for clutching may do this: the section alone does not show it",
        "common practice",
    )


def crossed_drive(belt, centres, first, second, *, system="inch"):
    """Tell whether a two-pulley drive may run crossed.

    Parameters
    ----------
    belt : Section
        The belt.
    centres : float
        Distance between the shafts, m.
    first, second : float
        Diameters of the belt line, m.
    system : str
        "inch" or "metric", for the words.

    Returns
    -------
    Allowed

    Source
    ------
    common practice, no source
    """
    need = 20.0 * belt.top_width
    if at_most(centres, 0.5 * (first + second)):
        return Allowed(False, "the pulleys overlap", "derived")
    why = "where the strands cross, a V-belt rubs on itself and twists; a flat belt is made for that"
    if not at_least(centres, need):
        why += f", and the centres should be at least 20 belt widths ({show(need, 'length', system)})"
    return Allowed(False, why, "common practice")


def quarter_turn(belt, centres, larger, count=1, *, system="inch"):
    """Tell whether a belt may run between shafts at right angles.

    Parameters
    ----------
    belt : Section
        The belt.
    centres : float
        Distance between the shafts, m.
    larger : float
        Diameter of the larger pulley, m.
    count : int
        Belts side by side.
    system : str
        "inch" or "metric", for the words.

    Returns
    -------
    Allowed
        It runs one way only: each pulley must stand in the plane of the strand that comes to it, and
        turned backwards the belt climbs off at once.

    Source
    ------
    from memory, V-belt quarter turn: centres at least 5.5 times large diameter plus width of the belts
    """
    need = 5.5 * (larger + count * belt.top_width)
    one_way = "each pulley in the plane of the strand that comes to it, deep grooves, and never turned backwards"
    if at_least(centres, need):
        return Allowed(True, one_way, "from memory")
    return Allowed(
        False,
        f"the centres must be at least 5.5 times large pulley plus belts, {show(need, 'length', system)}, "
        f"{show(need - centres, 'length', system)} more; then {one_way}",
        "from memory",
    )
