"""How a bearing goes on, and how it comes off: the steps for one bearing, in order, for its card."""

from __future__ import annotations

from jackshaft.units import OutOfRange

#: Why and how no weld current goes through a bearing.
WELDING = (
    "Weld first, fit afterwards: no weld current may pass through a bearing, it pits the races. Where a bearing must"
    " stay in, put the earth clamp on the welded part itself, right beside the weld."
)


def fitting_steps(*, tight_ring, closed, groove="none", located, warm_to=None, welding=False):
    """Steps for fitting one bearing.

    Parameters
    ----------
    tight_ring : str
        "inner", "outer" or "both": the ring with interference, which is the one that is pressed.
    closed : bool
        True for a shielded or sealed bearing.
    groove : str
        "none", "groove" or "groove and ring" in the outer ring or beside it in the housing.
    located : bool or None
        True for the bearing that holds the shaft endways, False for the floating one, None where it is
        not settled.
    warm_to : str or None
        Temperature as text, where it is warmed instead of pressed.
    welding : bool
        True where something is welded to this shaft.

    Returns
    -------
    tuple of str
        One sentence or two a step.

    Raises
    ------
    ValueError
        If the tight ring is not named.

    Source
    ------
    Common practice, no source.
    """
    rings = {"inner": "inner ring", "outer": "outer ring", "both": "both rings at once, with a flat plate"}
    if tight_ring not in rings:
        raise OutOfRange("say which ring is tight: inner, outer or both")
    steps = []
    if welding:
        steps.append(WELDING)
    steps.append("Measure the seat at three places and two directions; break the edge, clean, wipe with thin oil.")
    if groove != "none":
        steps.append(
            "Look for the retaining ring, its groove and the shoulder before anything is pressed; know which "
            "side the bearing enters from."
        )
    if warm_to:
        steps.append(
            f"Warm the bearing evenly to {warm_to}, no flame; it slides on without force. Gloves and goggles. Hold it "
            "against its shoulder until it grips."
        )
    else:
        steps.append(
            f"Press on the {rings[tight_ring]}, square, with a sleeve that bears on that ring alone: force "
            "through the balls dents the races."
        )
    if closed:
        steps.append("Do not wash or heat the grease out of a closed bearing.")
    if groove != "none":
        steps.append("Seat the retaining ring fully in its groove and turn it to see that it is home.")
    steps.append(
        {
            True: "Hold this bearing endways on both sides: it locates the shaft.",
            False: "Leave the loose ring of this bearing free to move endways: it floats while the shaft warms.",
            None: "Settle which one bearing of the shaft is held endways; every other one floats.",
        }[located]
    )
    steps.append("Turn by hand: it must run smooth, with a little play left. Rough at once means dented races.")
    return tuple(steps)


def removal_steps(*, groove="unknown", shaft_leaves="unknown", tight_ring="unknown"):
    """Steps for taking a bearing and its shaft apart.

    Parameters
    ----------
    groove : str
        "none", "found" or "unknown": a retaining ring on either side.
    shaft_leaves : str
        The way the shaft can leave as a sentence, or "unknown".
    tight_ring : str
        "inner", "outer", "both" or "unknown".

    Returns
    -------
    tuple of str
        One sentence or two a step.

    Raises
    ------
    ValueError
        Never; what is not known becomes a step of its own.

    Source
    ------
    Common practice, no source.
    """
    steps = []
    if groove != "none":
        steps.append(
            "Find the retaining ring first: rust and paint hide it. Take it out before any force; goggles, it springs."
            if groove == "unknown"
            else "Take the retaining ring out before any force; goggles, it springs."
        )
    steps.append("Clean both sides to bare metal, photograph, mark which side faces the pulley.")
    steps.append(
        "Measure the shaft on both sides of the bearing: a step, or a worn and rolled edge, lets it leave one way only."
        " Dress burrs and screw dimples off first."
    )
    if shaft_leaves != "unknown":
        steps.append(shaft_leaves)
    steps.append(
        {
            "inner": (
                "Pull or push on the inner ring, which is the tight one: a puller behind it, or the shaft pressed out"
                " of it with the inner ring held up. Nothing else may be pushed on."
            ),
            "outer": (
                "Push on the outer ring, which is the tight one, from the far side of its bore with a sleeve of nearly"
                " its size. Nothing else may be pushed on."
            ),
        }.get(
            tight_ring, "Push or pull only on the ring that is tight; where both may be, hold the other one up as well."
        )
    )
    steps.append("A bearing that was pushed through its balls is scrap: do not use it again.")
    steps.append("Measure the bare seat with a micrometer and write it down; it says which ring has spun.")
    return tuple(steps)
