"""Build files changed at random: whatever loads is worked up without a fault, a warning or a number that is none.

The seed is fixed. JACKSHAFT_FUZZ=N in the environment runs N changes instead, from a new seed that is printed.
"""

import os
import random
import re
import secrets
import warnings
from pathlib import Path

import pytest
from jackshaft import tables
from jackshaft.build import DEMO, Build, BuildProblems, describe, load, parse, save_values
from jackshaft.build.keys import possible_keys
from jackshaft.record import record_page
from jackshaft.record.outside import outside_references
from jackshaft.units import KINDS
from jackshaft.workup import work_up

ODD = ["none", "", "0", "-1", "?", "1e9", "nan", "inf", True, 5, [], {}, "½ in", "1 in 2", "3 in ± 9 in"]
TEXTS = ["A60", "6PK1438", "AX60", "13x1280", "2/B97", "worn off", "A-", "5V1000", "4L580", "coil", "6208-2RS"]
TEXTS += ["4 in, 5 in", "4 in to 6 in by 1/4 in", "AISI 1018 CD", "<b>", "\u202e", "a" * 200]
WIRES = ["16 AWG", "22 AWG", "4/0 AWG", "0.1 mm²", "95 mm²", "2.5 mm²", "30 AWG", "1000 mm²"]
#: Changes of the standing test, and the parts they are dealt to.
CHANGES, PARTS = 320, 4
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


def run(seed: int, changes: int) -> int:
    rng, builds = random.Random(seed), machines()
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        return sum(examine(build, changed(rng, build)) for build in (rng.choice(builds) for _ in range(changes)))


@pytest.mark.parametrize("part", range(PARTS))
def test_builds_changed_at_random_are_worked_up(part):
    asked = int(os.environ.get("JACKSHAFT_FUZZ", 0))
    seed = secrets.randbelow(2**31) if asked else 20 + part
    changes = asked // PARTS if asked else CHANGES // PARTS
    print(f"seed {seed}, {changes} changes")
    assert run(seed, changes) > changes // 5


def test_what_is_saved_loads_as_the_same_build(tmp_path):
    rng, source = random.Random(7), load(DEMO)
    saved = 0
    for n in range(60):
        path = tmp_path / f"build{n}.toml"
        path.write_bytes(source.text.encode())
        keys = {k: v for k, v in changed(rng, source).items() if isinstance(v, str | bool | int)}
        try:
            now = save_values(load(path), keys)
        except BuildProblems:
            assert path.read_bytes() == source.text.encode()
            continue
        again = parse(path.read_bytes(), file=path.name)
        assert (again.values, again.lists) == (now.values, now.lists), keys
        saved += 1
    assert saved > 10


def test_pages_with_their_pictures_are_made_of_whatever_loads():
    rng, builds, made = random.Random(11), machines(), 0
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        while made < 8:
            build = rng.choice(builds)
            keys = changed(rng, build)
            try:
                new = build.with_values(keys)
            except BuildProblems:
                continue
            page = record_page(new)
            assert not outside_references(page), (build.file, keys)
            assert "the program itself failed" not in page.lower(), (build.file, keys)
            made += 1
