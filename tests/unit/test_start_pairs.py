"""One value of a pair that a form writes one after the other: taken, and what is still missing is named."""

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters import layout
from jackshaft.results import work_up
from jackshaft.results.reader import Reader
from jackshaft.search.reading import read_pulleys
from jackshaft.start import controller as desk
from jackshaft.start import parts as start_parts

AT = "stage[crank belts].pulley"


@pytest.fixture(autouse=True)
def on_a_copy(own_data, monkeypatch):
    monkeypatch.delenv("JACKSHAFT_BUILD", raising=False)


def _missing(build):
    return {k for c in work_up(build).checks for k in c.missing} | {w.key for w in work_up(build).wanted}


@pytest.mark.parametrize(("one", "other"), ["xy", "yx"])
def test_a_place_is_written_one_coordinate_after_the_other(one, other):
    build = load(DEMO)
    places = {c: build.get(f"{AT}[I].{c}").text for c in "xy"}
    for c in "xy":
        build, _ = desk.write_down(build, f"{AT}[I].{c}", "")
    build, words = desk.write_down(build, f"{AT}[I].{one}", places[one])
    assert words.startswith("Kept centre, ")
    assert f"{AT}[I].{other}" in _missing(build) and f"{AT}[I].{one}" not in _missing(build)
    build, _ = desk.write_down(build, f"{AT}[I].{other}", places[other])
    assert not {f"{AT}[I].x", f"{AT}[I].y"} & _missing(build)
    assert work_up(build).verdict == work_up(load(DEMO)).verdict


def _two_pulleys():
    build, _ = desk.new_build("Saw", desk.BLANK, "inch")
    for kind, name in (("shaft", "arbor"), ("stage", "drive")):
        build, _ = start_parts.add_part(build, kind, name)
    for key, text in (("kind", "belt"), ("from", "engine"), ("to", "arbor"), ("section", "B"), ("belts", "1")):
        build, _ = desk.write_down(build, f"stage[drive].{key}", text)
    for name in ("small", "big"):
        build, _ = start_parts.add_part(build, "stage[drive].pulley", name)
        build, _ = desk.write_down(build, f"stage[drive].pulley[{name}].diameter", {"small": "6 in"}.get(name, "8 in"))
        build, _ = desk.write_down(build, f"stage[drive].pulley[{name}].measured_as", "pitch")
    for key, text in (("driver", "small"), ("driven", "big")):
        build, _ = desk.write_down(build, f"stage[drive].{key}", text)
    return build


def test_the_first_coordinate_of_a_new_build_is_zero():
    build = _two_pulleys()
    assert "stage[drive].centres" in _missing(build)
    build, _ = desk.write_down(build, "stage[drive].pulley[small].x", "0 in")
    assert build.get("stage[drive].pulley[small].x").si == 0.0
    missing = _missing(build)
    assert {f"stage[drive].pulley[{p}].{c}" for p, c in (("small", "y"), ("big", "x"), ("big", "y"))} <= missing
    assert "stage[drive].pulley[small].x" not in missing and "stage[drive].centres" not in missing
    # where the distance is known, half a place does not stand in its way
    build, _ = desk.write_down(build, "stage[drive].centres", "20 in")
    assert "stage[drive].pulley[big].x" not in _missing(build)
    assert [c.key for c in layout.CHAPTER.part("panel").controls(build, "drive")][0] == "stage[drive].centres"


def test_a_search_takes_half_a_place_for_none():
    build = _two_pulleys()
    build, _ = desk.write_down(build, "stage[drive].centres", "20 in")
    build, _ = desk.write_down(build, "stage[drive].pulley[big].x", "3 in")
    reader = Reader(build)
    first, last, *_ = read_pulleys(reader, "stage[drive]")
    assert not reader.missing and (first.x, first.y) == (0.0, 0.0)
    assert last.x == pytest.approx(20 * 0.0254) and last.y == 0.0


def test_a_box_is_written_one_side_after_the_other():
    build, _ = start_parts.add_part(load(DEMO), "stage[crank belts].body", "guard")
    at = "stage[crank belts].body[guard]"
    for key, missing in (("x", "y"), ("y", "diameter"), ("width", "height")):
        build, _ = desk.write_down(build, f"{at}.{key}", "2 in")
        assert f"{at}.{missing}" in _missing(build)
    assert f"{at}.diameter" not in _missing(build)
    build, _ = desk.write_down(build, f"{at}.height", "2 in")
    assert not any(k.startswith(at) for k in _missing(build))
    with pytest.raises(ValueError, match="take one out"):
        desk.write_down(build, f"{at}.diameter", "2 in")
