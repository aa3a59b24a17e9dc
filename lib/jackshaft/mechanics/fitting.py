"""How a bearing goes on, and how it comes off: the steps for one bearing, in order, for its card."""

from __future__ import annotations

from jackshaft.units import OutOfRange

#: Why and how no weld current goes through a bearing.
WELDING = (
    "Weld first and fit the bearing afterwards. No weld current may pass through a bearing: it pits the races. Where a"
    " bearing must stay in, put the earth clamp on the welded part itself, right beside the weld."
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
    alone = "{}, with a sleeve that touches that ring alone"
    press = {
        "inner": alone.format("the inner ring"),
        "outer": alone.format("the outer ring"),
        "both": "both rings at once, with a flat plate",
    }
    if tight_ring not in press:
        raise OutOfRange("say which ring is tight: inner, outer or both")
    steps = []
    if welding:
        steps.append(WELDING)
    steps.append(
        "Measure the seat at three places and in two directions. Break its edge, clean it and wipe it with thin oil."
    )
    if groove != "none":
        steps.append(
            "Before you press anything, look for the retaining ring, its groove and the shoulder. Know from which side "
            "the bearing goes in."
        )
    if warm_to:
        steps.append(
            f"Warm the bearing evenly to {warm_to}, without a flame. It then slides on without force. Wear gloves and "
            "goggles. Hold it against its shoulder until it grips."
        )
    else:
        steps.append(f"Press squarely on {press[tight_ring]}. Force that goes through the balls dents the races.")
    if closed:
        steps.append("Do not wash or heat the grease out of a closed bearing.")
    if groove != "none":
        steps.append("Put the retaining ring fully into its groove and turn it to check that it is seated.")
    steps.append(
        {
            True: "Hold this bearing endways on both sides: it locates the shaft.",
            False: "This bearing floats: leave its loose ring free to move endways, as the shaft grows in the heat.",
            None: "Decide which one bearing of the shaft is held endways. Every other one floats.",
        }[located]
    )
    steps.append(
        "Turn it by hand. It must run smoothly, with a little play left. If it is rough at once, its races are dented."
    )
    return tuple(steps)


def insert_steps(*, locking, torque, care, welding=False):
    """Steps for fitting one insert bearing.

    Parameters
    ----------
    locking : str
        "set screws", "eccentric collar" or "adapter sleeve".
    torque : str
        Tightening torque of its screws as text.
    care : bool
        True where bore and speed ask for more care with the screws.
    welding : bool
        True where something is welded to this shaft.

    Returns
    -------
    tuple of str
        One sentence or two a step.

    Raises
    ------
    ValueError
        If the lock is none of the three.

    Source
    ------
    insert-mounting-sheet, steps 4 and 5; insert-handling-page; the collar and the sleeve from memory.
    """
    locks = {
        "set screws": (
            "Turn the screws of both bearings in line. Tighten one screw to half of the torque, the other to the "
            f"whole, then the first to the whole: {torque}. Begin at the lower figure; the bearing's own sheet comes "
            "first.",
        ),
        "eccentric collar": (
            "Put the collar on the ring and turn it by hand in the direction in which the shaft turns, until it grips. "
            "Tap it home in that direction with a punch in its blind hole.",
            f"Tighten the collar's screw to {torque}. Begin at the lower figure; the bearing's own sheet comes first.",
        ),
        "adapter sleeve": (
            "Draw the nut of the sleeve as far as its maker says, and bend a tab of its washer into a slot. Drawn too "
            "far, it takes the play out of the balls.",
        ),
    }
    if locking not in locks:
        raise OutOfRange("say what locks the insert: set screws, eccentric collar or adapter sleeve")
    flat = "File a flat 0.2 to 0.5 mm deep under each screw. " if care and locking == "set screws" else ""
    return (
        *((WELDING,) if welding else ()),
        f"Measure the bar at three places. Dress off burrs and old dimples, clean it and oil it thinly. {flat}".strip(),
        "Slide the bearing on by hand. If it does not go, the bar is too thick or has a burr: never drive or warm it.",
        "Put both housings in place with their bolts finger tight. Turn the shaft: the rings tilt into line by "
        "themselves. Tap the housings with a soft hammer, then tighten the bolts.",
        "Check the place of shaft and pulleys endways before anything is locked.",
        *locks[locking],
        "Turn it by hand: it must run freely. Put the guards on and run it for a few minutes, stop the drive and keep "
        "it from starting, then tighten screws and bolts again.",
    )


def insert_removal_steps(*, locking):
    """Steps for taking one insert bearing off.

    Parameters
    ----------
    locking : str
        "set screws", "eccentric collar" or "adapter sleeve".

    Returns
    -------
    tuple of str
        One sentence or two a step.

    Raises
    ------
    ValueError
        If the lock is none of the three.

    Source
    ------
    Common practice, no source.
    """
    loosen = {
        "set screws": "Loosen every screw by two turns: a screw that still touches drags a burr along the bar.",
        "eccentric collar": "Loosen the collar's screw, and tap the collar round against the direction of the shaft.",
        "adapter sleeve": "Bend the tab back, loosen the nut by a few turns, and tap it square to free the sleeve.",
    }
    if locking not in loosen:
        raise OutOfRange("say what locks the insert: set screws, eccentric collar or adapter sleeve")
    return (
        "Take the belts off and support the shaft.",
        loosen[locking],
        "File the dimples and burrs off the free end of the bar and clean off the rust. Then slide the bearing along.",
        "Unbolt the housing and draw it off with its bearing. Do not hammer on the housing: that dents the races.",
        "Measure the bare bar with a micrometer and write it down: a worn place asks for new bar.",
    )


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
            ("Find the retaining ring first: rust and paint hide it. " if groove == "unknown" else "")
            + "Take the retaining ring out before you use any force. Wear goggles: it springs out."
        )
    steps.append("Clean both sides to bare metal, take a photograph, and mark which side faces the pulley.")
    steps.append(
        "Measure the shaft on both sides of the bearing. A step, or a worn and rolled edge, lets it come out one way "
        "only. First dress off the burrs and the dimples of set screws."
    )
    if shaft_leaves != "unknown":
        steps.append(shaft_leaves)
    steps.append(
        {
            "inner": (
                "Pull or push on the inner ring, which is the tight one: put a puller behind it, or support the inner "
                "ring and press the shaft out of it. Push on nothing else."
            ),
            "outer": (
                "Push on the outer ring, which is the tight one, from the far side of its bore with a sleeve of nearly"
                " its size. Push on nothing else."
            ),
        }.get(
            tight_ring,
            "Push or pull only on the ring that is tight. Where both may be tight, support the other one as well.",
        )
    )
    steps.append("A bearing that was pushed through its balls is scrap: do not use it again.")
    steps.append("Measure the bare seat with a micrometer and write it down: it shows which ring has spun.")
    return tuple(steps)
