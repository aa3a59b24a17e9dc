"""The order of a list of parts that two sides changed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def agreed_order(
    read: Sequence[str], mine: Sequence[str], theirs: Sequence[str], kept: Iterable[str], lead: str = ""
) -> tuple[str, ...] | None:
    """Return the names of a list in the order that both sides can stand by.

    What either side added is in it, right behind the name it followed there; what one side took away is not.

    Parameters
    ----------
    read, mine, theirs : sequence of str
        The names as they were read, as I want them, as the file has them now.
    kept : iterable of str
        Names that stay of those that I have or that the others changed.
    lead : str, optional
        ``mine`` or ``theirs``: whose order goes first where both moved names.

    Returns
    -------
    tuple of str, or None
        None where both moved the same names to different places and ``lead`` says nothing.
    """
    stays = {n for n in (*mine, *theirs) if n not in read or (n in kept and n in theirs)}
    common = set(read) & set(mine) & set(theirs)
    was, my, other = ([n for n in names if n in common] for names in (read, mine, theirs))
    if not lead:
        if my == was:
            lead = "theirs"
        elif other in (was, my):
            lead = "mine"
        else:
            return None
    first, second = (mine, theirs) if lead == "mine" else (theirs, mine)
    order = [n for n in first if n in stays]
    behind = None
    for name in second:
        if name in stays and name not in order:
            order.insert(0 if behind is None else order.index(behind) + 1, name)
        behind = name if name in order else behind
    return tuple(order)
