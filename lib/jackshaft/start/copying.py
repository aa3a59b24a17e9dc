"""A part copied with what is known of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from jackshaft.buildfile import Answer, Build, BuildProblems, DoesNotFit, Problem, check_name, part_of
from jackshaft.buildfile.rawdata import raw_at
from jackshaft.results.keeping import NotWorkable, keep
from jackshaft.start.parts import where, words_of
from jackshaft.ui.stale import few

#: The place of a part, which no other part of its list has.
PLACE = ("x", "y", "position", "start", "end")
#: So many of the values that were left out are named.
FEW = 6


def copy_part(
    build: Build, at: str, name: str, *, settle: Mapping[str, Answer] | None = None
) -> tuple[Build, str, str]:
    """Copy a part with all that is known of it and of its own parts, under another name, into the same list.

    The place of the part is left out of the copy, and so is what the rules of a build file do not let two parts say;
    both are named. What refers to the part goes on referring to it alone.

    Returns
    -------
    Build, str, str
        The build, what was done, and the key of the copy.

    Raises
    ------
    BuildProblems
        If there is no such part, the name is none or taken, or the copy cannot be taken; nothing is written.
    KeyConflict
        If others changed the same in the file, and ``settle`` does not say which is kept; nothing is written.
    """
    home, old = part_of(at)
    if old not in build.names(home):
        raise BuildProblems([Problem(build.file, at, "a part that is gone already", "a part of the build")])
    name = check_name(build, home, name)
    new = f"{home}[{name}]"
    changes = _flat(new, {**raw_at(build, at), "name": name})
    left = [k for k in changes if k in {f"{new}.{n}" for n in PLACE}]
    changes = {k: v for k, v in changes.items() if k not in left}
    while True:
        try:
            kept = keep(build, changes, settle=settle)
            break
        except (DoesNotFit, NotWorkable):
            raise
        except BuildProblems as error:
            # what a rule refuses is not copied; a rule about something else stands
            named = {p.key for p in error.problems}
            wrong = [k for k in changes if k in named and k != f"{new}.name"]
            if not wrong:
                raise
            left += wrong
            changes = {k: v for k, v in changes.items() if k not in wrong}
    values = len(changes) - 1
    words = f"Copied {words_of(at)} as '{name}', with {values} value{'s' * (values != 1)}."
    if left:
        words += f" Left out, as two parts do not share it: {few([k.removeprefix(f'{new}.') for k in left], FEW)}."
    return kept, f"{words} {where(kept)}", new


def _flat(at: str, data: Mapping[str, object]) -> dict[str, object]:
    """Return a part's plain data as changes by key: its own values first, then those of its parts."""
    found: dict[str, object] = {}
    inside: list[tuple[str, Mapping]] = []
    for name, value in data.items():
        key = f"{at}.{name}"
        if isinstance(value, Mapping) and "value" not in value:
            inside.append((key, value))
        elif isinstance(value, list):
            inside += [(f"{key}[{item['name']}]", item) for item in value]
        elif isinstance(value, Mapping):
            found[key] = {k: v if k == "value" else str(v) for k, v in value.items()}
        else:
            found[key] = str(value) if isinstance(value, date | float) else value
    for key, value in inside:
        found |= _flat(key, value)
    return found


__all__ = ["copy_part"]
