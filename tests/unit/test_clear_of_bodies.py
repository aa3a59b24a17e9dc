"""A pulley and the belt on it are kept from a body as the strands are: a post behind the wrap is seen."""

import math

import numpy as np
import pytest
from jackshaft.buildfile import DEMO, edited, load, parse
from jackshaft.results import work_up
from jackshaft.results.checks import GO, STOP, UNDECIDED

STAGE, CHECK = "stage[crank belts]", "layout.clearance[crank belts]"


def with_post(**size):
    """The demo with a post; values in inches."""
    at = f"{STAGE}.body[post]"
    keys = {f"{at}.name": "post"} | {f"{at}.{k}": f"{v} in" for k, v in size.items()}
    return parse(edited(load(DEMO).text, keys).encode(), file="post.toml")


def clearance_of(build):
    return next(c for c in work_up(build).checks if c.id == CHECK)


def far_side_of_driven():
    """A point on the outside of the large pulley's wrap, away from the crank, 1 in beyond the rim."""
    layout = work_up(load(DEMO)).chapters["layout"].data["crank belts"]
    p, at = layout.pulleys, layout.places
    j = int(np.argmax(p.pitch))
    away = math.atan2(at.y[j] - at.y[p.driver], at.x[j] - at.x[p.driver])
    reach = p.outside[j] + 0.0254
    return (at.x[j] + reach * math.cos(away)) / 0.0254, (at.y[j] + reach * math.sin(away)) / 0.0254


@pytest.mark.parametrize("shape", [{"diameter": 4}, {"width": 4, "height": 4}])
def test_a_post_that_stands_in_the_wrapped_belt_is_a_stop(shape):
    x, y = far_side_of_driven()
    check = clearance_of(with_post(x=round(x, 3), y=round(y, 3), **shape))
    assert check.verdict == STOP and "post" in check.reason


@pytest.mark.parametrize("shape", [{"diameter": 1}, {"width": 1, "height": 1}])
def test_a_post_inside_a_pulley_is_a_stop(shape):
    layout = work_up(load(DEMO)).chapters["layout"].data["crank belts"]
    j = int(np.argmax(layout.pulleys.pitch))
    check = clearance_of(with_post(x=layout.places.x[j] / 0.0254, y=layout.places.y[j] / 0.0254, **shape))
    assert check.verdict == STOP and "post" in check.reason


def test_a_post_out_of_the_way_changes_nothing():
    before = clearance_of(load(DEMO))
    after = clearance_of(with_post(x=80, y=80, diameter=4))
    assert before.verdict == after.verdict == GO and before.value == after.value


@pytest.mark.parametrize(
    ("size", "missing"),
    [
        ({}, ("x", "y", "diameter")),
        ({"x": 30, "y": 4}, ("diameter",)),
        ({"x": 30, "y": 4, "width": 2}, ("height",)),
        ({"x": 30, "diameter": 2}, ("y",)),
    ],
)
def test_a_post_that_is_nowhere_yet_is_undecided_by_its_keys(size, missing):
    check = clearance_of(with_post(**size))
    assert check.verdict == UNDECIDED
    assert check.missing == tuple(f"{STAGE}.body[post].{k}" for k in missing)
