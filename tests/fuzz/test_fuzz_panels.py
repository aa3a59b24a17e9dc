"""Panels handled at random, on builds of any state: each control pushed to its ends, nonsense typed, pinned, reset."""

import random
import warnings

from jackshaft.buildfile import BuildProblems
from jackshaft.results import chapters, work_up
from jackshaft.search.panel import panel as search_panel
from jackshaft.ui.scale import Scale
from jackshaft.ui.trouble import NotKept
from mutations import ODD, TEXTS, asked, changed, grown, machines, thinned

FAULTY = "a fault of the program"
PANELS = {n: c.part("panel").panel for n, c in chapters().items() if c.part("panel")} | {"search": search_panel}


def typed(rng: random.Random, control, system: str) -> str:
    """Return a text that a slider gives, that a list offers, or that somebody types."""
    if rng.random() < 0.2:
        return str(rng.choice(ODD + TEXTS))
    if not control.has_slider:
        return rng.choice(control.options)[1]
    scale = Scale(control, system)
    if rng.random() < 0.75:
        return scale.text_at(rng.choice([0, scale.count, rng.randint(0, scale.count)]))
    size = rng.choice([0, -1, 1]) * 10 ** rng.uniform(-6, 6)
    return f"{size:.4g} {rng.choice(['', control.unit(system), 'in', 'mm', 'rpm'])}".strip()


def handle(rng: random.Random, panel, steps: int) -> None:
    state = panel.state
    for _ in range(steps):
        texts = {c: typed(rng, state.controls[c], state.system) for c in rng.sample(list(state.controls), 1)}
        deed = rng.random()
        if deed < 0.75:
            state.set_many(texts)
        elif deed < 0.85:
            state.reset()
        else:
            try:
                state.pin()
                state.use(rng.choice(state.pins).letter)
            except NotKept:
                pass
        state.finish()
        for trouble in state.troubles:
            assert FAULTY not in trouble.label, (state.build.text, state.texts, trouble.details)
            assert trouble.words
        if state.fresh:
            assert not work_up(state.trial).faults, (state.build.text, state.texts)
    panel.reset()
    panel._drawing.hurry()
    assert panel._drawn.trouble is None, (state.build.text, panel._drawn.trouble)


def parts_of(chapter: str, build) -> list:
    """Return what the panel of a chapter can be asked to stand on."""
    lists = {"layout": "stage", "grip": "stage", "search": "stage", "bearings": "bearing", "shafts": "shaft"}
    return [None, *build.names(lists[chapter])] if chapter in lists else [None]


def any_build(rng: random.Random, builds: list):
    if rng.random() < 0.2:
        return rng.choice([*grown(rng, 200)])
    build = rng.choice(builds)
    if rng.random() < 0.3:
        return thinned(rng, build)
    try:
        return build.with_values(changed(rng, build))
    except BuildProblems:
        return build


def test_panels_handled_at_random_show_no_fault():
    rounds, seed = asked(2 * len(PANELS))
    rng, builds = random.Random(90 if seed is None else seed), machines()
    there = dict.fromkeys(PANELS, 0)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for n in range(rounds):
            build = any_build(rng, builds)
            chapter = list(PANELS)[n % len(PANELS)]
            part = rng.choice(parts_of(chapter, build))
            try:
                panel = PANELS[chapter](build, part)
            except ValueError as why:
                assert str(why), (chapter, build.text)
                continue
            there[chapter] += 1
            if hasattr(panel, "state"):
                handle(rng, panel, 12)
    assert sum(there.values()) > rounds // 3, there
