"""Builds changed at random: what somebody may type for a key, whole changes of a build, builds grown from nothing."""

from __future__ import annotations

import os
import random
import re
import secrets
from pathlib import Path

from jackshaft import tables
from jackshaft.buildfile import DEMO, Build, BuildProblems, describe, edited, load, parse
from jackshaft.buildfile.keys import possible_keys
from jackshaft.buildfile.schema import CHAPTERS
from jackshaft.results import work_up
from jackshaft.units import KINDS

ODD = ["none", "", "0", "-1", "?", "1e9", "nan", "inf", True, 5, [], {}, "½ in", "1 in 2", "3 in ± 9 in"]
TEXTS = ["A60", "6PK1438", "AX60", "13x1280", "2/B97", "worn off", "A-", "5V1000", "4L580", "coil", "6208-2RS"]
TEXTS += ["4 in, 5 in", "4 in to 6 in by 1/4 in", "AISI 1018 CD", "<b>", "\u202e", "a" * 200]
WIRES = ["16 AWG", "22 AWG", "4/0 AWG", "0.1 mm²", "95 mm²", "2.5 mm²", "30 AWG", "1000 mm²"]
NO_NUMBER = re.compile(r"(?<![\w'])(nan|inf|-inf)(?![\w'])")


def machines() -> list[Build]:
    return [load(DEMO), *(load(p) for p in sorted((Path(__file__).parents[1] / "builds").glob("*.toml")))]


def value(rng: random.Random, key: str, build: Build):
    """Return something that somebody might type for a key: often a proper value, sometimes nonsense."""
    field = describe(key)[1]
    if rng.random() < 0.08:
        return rng.choice(ODD)
    if field.kind == "yes/no":
        return rng.random() < 0.5
    if field.kind == "count":
        return rng.choice([0, 1, 2, 3, 5, 9, 20, 24, 100, 1000])
    if field.choices:
        return rng.choice(field.choices)
    if field.refers:
        named = ["engine", *build.names("shaft"), *build.names("stage")]
        return rng.choice(named + list(build.names(key[: key.find("]") + 1] + ".pulley")))
    if field.kind == "date":
        return "2026-01-02"
    if field.table:
        return str(rng.choice(list(tables.table(field.table[0]).rows))[field.table[1]])
    if field.kind == "text":
        return rng.choice(TEXTS)
    if field.kind == "wire":
        return rng.choice(WIRES)
    size = 10 ** (rng.uniform(-9, 9) if rng.random() < 0.35 else rng.uniform(-2, 4))
    size = 0 if rng.random() < 0.05 else -size if rng.random() < 0.1 else size
    unit = "" if field.kind == "number" else rng.choice([KINDS[field.kind].inch, KINDS[field.kind].metric])
    return f"{size:.4g} {unit}".strip()


def changed(rng: random.Random, build: Build) -> dict:
    """Return one to three keys with new values; now and then some that stand there are taken out."""
    keys = {k: value(rng, k, build) for k in rng.sample(list(possible_keys(build)), rng.choice([1, 1, 2, 3]))}
    if rng.random() < 0.3:
        there = [k for k in build.values if k not in ("schema", "name") and not k.endswith(".name")]
        keys |= dict.fromkeys(rng.sample(there, rng.choice([1, 3, 8])), "")
    return keys


def examine(build: Build, keys: dict) -> bool:
    """Work a changed build up; return whether it loaded."""
    try:
        new = build.with_values(keys)
    except BuildProblems as refused:
        assert all(p.found and p.wanted for p in refused.problems), (build.file, keys, str(refused))
        return False
    results = work_up(new)
    assert not results.faults, (build.file, keys, results.faults[0].fault.trace)
    for check in results.checks:
        assert not NO_NUMBER.search(f"{check.value} {check.limit}"), (build.file, keys, check)
    return True


NAMES = ["A", "crank", "belt", "jack", "E", "coil", "1", "out put", "½ in", "ÄÖ", "a.b", "'", "none", "engine"]


def lists_of(build: Build) -> list[str]:
    """Return every list that a part can be added to."""
    found = [c.name for c in CHAPTERS if c.many and c.name != "accepted"]
    for chapter in CHAPTERS:
        homes = [f"{chapter.name}[{n}]" for n in build.names(chapter.name)] if chapter.many else [chapter.name]
        found += [f"{home}.{part.name}" for home in homes for part in chapter.parts if part.many]
    return found


def grown(rng: random.Random, steps: int):
    """Yield half-entered builds: a blank one that parts and values are added to in no order."""
    build = parse(
        f'schema = 1\nname = "new"\nshown_in = "{rng.choice(["inch", "metric"])}"\n'.encode(), file="new.toml"
    )
    for _ in range(steps):
        adding = rng.random() < 0.35
        if adding:
            place = f"{rng.choice(lists_of(build))}[{rng.choice(NAMES)}]"
            keys = {f"{place}.name": place[place.rindex("[") + 1 : -1]}
        else:
            in_parts = [k for k in possible_keys(build) if "[" in k]
            keys_there = in_parts if in_parts and rng.random() < 0.7 else possible_keys(build)
            keys = {k: value(rng, k, build) for k in rng.sample(keys_there, 1)}
        # the way of a form: the change is edited into the text, and the text is read again
        try:
            now = parse(edited(build.text, keys).encode(), file="new.toml")
        except BuildProblems as refused:
            assert all(p.found and p.wanted for p in refused.problems), (build.text, keys, str(refused))
            now = None
        if not adding:
            same_as_in_a_panel(build, keys, now)
        if now is not None:
            build = now
            yield build


def thinned(rng: random.Random, build: Build) -> Build:
    """Return a build of which only a part is entered yet."""
    keep = rng.uniform(0.1, 0.95)
    out = [k for k in build.values if k not in ("schema", "name") and not k.endswith(".name") and rng.random() > keep]
    for _ in range(3):
        try:
            return build.with_values(dict.fromkeys(out, ""))
        except BuildProblems as refused:
            asked_for = {p.key for p in refused.problems}
            assert asked_for, str(refused)
            out = [k for k in out if not any(k.startswith(at) or at.startswith(k) for at in asked_for)]
    return build


def same_as_in_a_panel(build: Build, keys: dict, edited_build: Build | None) -> None:
    """Hold a change put into a build against the same change edited into its text."""
    try:
        changed_build = build.with_values(keys)
    except BuildProblems:
        assert edited_build is None, ("the text takes it, the panel does not", build.text, keys)
        return
    assert edited_build is not None, ("the panel takes it, the text does not", build.text, keys)
    assert (edited_build.values, edited_build.lists) == (changed_build.values, changed_build.lists), keys


def asked(standing: int) -> tuple[int, int | None]:
    """Return how many rounds to try, and the seed where it is a new one."""
    by_hand = int(os.environ.get("JACKSHAFT_FUZZ", 0))
    if not by_hand:
        return standing, None
    seed = secrets.randbelow(2**31)
    print(f"seed {seed}")
    return by_hand, seed
