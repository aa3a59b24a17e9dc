"""Build files changed at random: whatever loads is worked up without a fault, a warning or a number that is none.

The seed is fixed. JACKSHAFT_FUZZ=N in the environment runs N changes instead, from a new seed that is printed.
"""

import random
import warnings

import pytest
from jackshaft.buildfile import DEMO, BuildProblems, load, parse, save_values
from jackshaft.drawing.pictures import pictures
from jackshaft.record import page as page_with
from jackshaft.record.outside import outside_references
from jackshaft.results import work_up
from jackshaft.results.proving import with_cures
from mutations import asked, changed, examine, machines

#: Changes of the standing test, and the parts they are dealt to.
CHANGES, PARTS = 320, 4


def run(seed: int, changes: int) -> int:
    rng, builds = random.Random(seed), machines()
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        return sum(examine(build, changed(rng, build)) for build in (rng.choice(builds) for _ in range(changes)))


@pytest.mark.parametrize("part", range(PARTS))
def test_builds_changed_at_random_are_worked_up(part):
    changes, seed = asked(CHANGES)
    changes //= PARTS
    assert run(20 + part if seed is None else seed, changes) > changes // 5


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
    rounds, seed = asked(4)
    rng, builds, made = random.Random(11 if seed is None else seed), machines(), 0
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        while made < rounds:
            build = rng.choice(builds)
            keys = changed(rng, build)
            try:
                new = build.with_values(keys)
            except BuildProblems:
                continue
            results = work_up(new)
            if made % 4 == 0:  # cures take most of the time; test_proving tries those of spoilt builds
                results = with_cures(results)
            page = page_with(results, pictures(results))
            assert not outside_references(page), (build.file, keys)
            assert "the program itself failed" not in page.lower(), (build.file, keys)
            made += 1
