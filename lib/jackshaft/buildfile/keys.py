"""The table of keys that a person writing a build file reads, made from the schema."""

from __future__ import annotations

from jackshaft.buildfile.model import Build, describe
from jackshaft.buildfile.schema import SCHEMA_VERSION, TOP, USUAL_OFF, Field, walk
from jackshaft.units import KINDS, show

#: What is taken for the allowance of a guess that states none, in words.
OFF = ", ".join(
    f"{100 * share:.0f} % if {' or '.join(f'*{word}*' for word, its in USUAL_OFF.items() if its == share)}"
    for share in dict.fromkeys(USUAL_OFF.values())
)

#: Lengths from here on are told in metres.
FAR = 10.0

HEAD = f"""# Keys of a build file

`python -m jackshaft keys` prints this page from the schema (version {SCHEMA_VERSION}). Do not edit it by hand.

A build file is written in TOML. A quantity is a text with its unit: `"1-3/8 in"`, `"35 mm"`, `"3600 rpm"`. To say
how a value is known, write it as a table:
`{{ value = "2.9 ohm", known = "measured", by = "multimeter", plus_minus = "0.1 ohm" }}`.
Every check is judged at both ends of `plus_minus` too. Where it is left out, it is taken as
{OFF} (common practice, no source; ± 10 K for a temperature). Any other
value counts as it stands. A factor or a limit that you decide on, on the safe side, is *chosen*; what you take for
granted of a part that nobody looked at is *assumed*.
A key that is left out is *not known yet*. A chapter or a list that the machine does not have is `"none"`. A single
value can be `"none"` only where its bounds say so. The parts of a list are found by their `name`.
"""


def _takes(field: Field) -> str:
    if field.choices:
        return " / ".join(field.choices)
    if field.kind == "references":
        return f"names of {' or '.join(f'{r}s' for r in field.refers)}, with commas between"
    if field.refers:
        return "name of " + " or ".join("the engine (`engine`)" if r == "engine" else f"a {r}" for r in field.refers)
    if field.table:
        return f"an entry of table {field.table[0]}"
    if field.kind in KINDS and field.kind != "number":
        if field.plain_unit:
            return f"{field.kind} ({field.plain_unit})"
        kind = KINDS[field.kind]
        units = kind.inch if kind.inch == kind.metric else f"{kind.inch} or {kind.metric}"
        units = "hp, kW or W" if field.kind == "power" else units
        return f"{field.kind} ({units})"
    return field.kind


def _bounds(field: Field) -> str:
    def text(si: float) -> str:
        far = field.kind == "length" and abs(si) >= FAR
        words = f"{si:g}" if field.kind in ("count", "number") else show(si, field.kind, "metric")
        words = f"{si:g} m" if far else words
        # nothing is nothing in every unit; a temperature of 0 K does not begin with a nought
        return "0" if si == 0 and words.startswith("0") else words

    bounds = (("more than", field.over), ("at least", field.least), ("at most", field.most))
    words = [f"{word} {text(bound)}" for word, bound in bounds if bound is not None]
    return ", ".join([*words, "or none"] if field.absent else words)


def keys_table() -> str:
    """Return the table of keys as Markdown."""
    lines = [HEAD]
    for path, section in walk():
        heading = f"## {section.title}" + (f": `{path}`" if path else "")
        lines += [heading, "", section.help[0].upper() + section.help[1:] + ".", ""]
        lines += ["| key | takes | bounds | meaning |", "| --- | --- | --- | --- |"]
        for field in section.fields:
            mark = " (required)" if field.required else ""
            only = f"; {' or '.join(field.only)} only" if field.only else ""
            lines.append(f"| `{field.name}`{mark} | {_takes(field)} | {_bounds(field)} | {field.help}{only} |")
        lines.append("")
    return "\n".join(lines)


def possible_keys(build: Build) -> tuple[str, ...]:
    """Return every key that a value can be written under: those of all chapters and of the parts that are there.

    Parameters
    ----------
    build : Build
        The build; a list of parts gives the keys of each of its parts.
    """
    keys = [f.name for f in TOP.fields if f.name != "schema"]
    for path, section in walk():
        names = [f.name for f in section.fields if not (section.many and f.name == "name")]
        keys += [f"{at}.{name}" for at in build.places(path) if path for name in names]
    return tuple(keys)


def takes(key: str) -> str:
    """Return what a key takes, in words, with its bounds.

    Raises
    ------
    NoSuchKey
        If the schema has no such key.
    """
    field = describe(key)[1]
    return ", ".join(w for w in (_takes(field), _bounds(field)) if w)
