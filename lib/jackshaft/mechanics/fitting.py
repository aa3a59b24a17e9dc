"""How a bearing goes on, and how it comes off: the steps for one bearing, in order, for its card."""

from __future__ import annotations


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
    located : bool
        True for the bearing that holds the shaft endways, False for the floating one.
    warm_to : str or None
        Temperature as text, where it is warmed instead of pressed.
    welding : bool
        True where something on this shaft is still to be welded.

    Returns
    -------
    tuple of str
        One sentence a step.

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
        raise ValueError("say which ring is tight: inner, outer or both")
    steps = []
    if welding:
        steps.append("Weld first, fit afterwards: no weld current may pass through a bearing.")
    steps.append(
        "Measure the seat at three places and two directions; break the edge, clean, wipe with thin oil."
    )
    if groove != "none":
        steps.append(
            "Look for the retaining ring, its groove and the shoulder before anything is pressed; know which "
            "side the bearing enters from."
        )
    if warm_to:
        steps.append(
            f"Warm the bearing evenly to {warm_to}, no flame; it slides on without force. Gloves and goggles."
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
        "Hold this bearing endways on both sides: it locates the shaft."
        if located
        else "Leave the loose ring of this bearing free to move endways: it floats while the shaft warms."
    )
    steps.append(
        "Turn by hand: it must run smooth, with a little play left. Rough at once means dented races."
    )
    return tuple(steps)


def removal_steps(*, groove="unknown", shaft_leaves="unknown", tight_ring="unknown"):
    """Steps for taking a bearing and its shaft apart.

    Parameters
    ----------
    groove : str
        "none", "found" or "unknown": a retaining ring on either side.
    shaft_leaves : str
        The way the shaft can leave, or "unknown".
    tight_ring : str
        "inner", "outer", "both" or "unknown".

    Returns
    -------
    tuple of str
        One sentence a step.

    Raises
    ------
    ValueError
        Never; what is not known becomes the first step.

    Source
    ------
    Common practice, no source.
    """
    steps = ["Clean both sides to bare metal, photograph, mark which side faces the pulley."]
    if groove != "none":
        steps.append(
            "Find the retaining ring first: rust and paint hide it. Take it out before any force."
            if groove == "unknown"
            else "Take the retaining ring out before any force; goggles, it springs."
        )
    steps.append(
        "Measure the shaft on both sides: a step or a worn, rolled edge lets it leave one way only."
        if shaft_leaves == "unknown"
        else f"The shaft leaves {shaft_leaves}."
    )
    if tight_ring in ("inner", "outer"):
        steps.append(f"Pull on the {tight_ring} ring, which is the tight one.")
    else:
        steps.append("Pull on the ring that is tight; where both may be, support the other one.")
    steps.append("What is pushed through the balls is scrap: do not use such a bearing again.")
    steps.append("Measure the bare seat with a micrometer and write it down; it says which ring has spun.")
    return tuple(steps)
