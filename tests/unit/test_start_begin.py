"""A new build from ticked parts on the start page: what is written, how it is tied, and that it is worked up."""

import pytest
from jackshaft.results import work_up
from jackshaft.start import controller as desk
from jackshaft.start.skeleton import Ticked, in_words


@pytest.fixture(autouse=True)
def on_a_copy(own_data, monkeypatch):
    monkeypatch.delenv("JACKSHAFT_BUILD", raising=False)


def test_the_stages_of_a_new_build_lead_from_the_engine_to_the_work():
    ticked = Ticked(engine="petrol engine", belts=2, chains=1, bearings=True, clutch="electromagnetic")
    build, words = desk.new_build("Saw", desk.BLANK, "inch", ticked)
    at = "engine"
    for stage in build.names("stage"):
        assert build.get(f"stage[{stage}].from") == at
        at = build.get(f"stage[{stage}].to")
    assert at == build.get("work.shaft") == build.names("shaft")[-1]
    assert [build.get(f"stage[{s}].kind") for s in build.names("stage")] == ["belt", "belt", "roller chain"]
    # every belt has a driver and a driven pulley, every shaft two bearings
    for stage in build.names("stage")[:2]:
        ends = [build.get(f"stage[{stage}].{end}") for end in ("driver", "driven")]
        assert sorted(ends) == sorted(build.names(f"stage[{stage}].pulley"))
    carried = [build.get(f"bearing[{b}].shaft") for b in build.names("bearing")]
    assert all(carried.count(shaft) == 2 for shaft in build.names("shaft"))
    assert in_words(ticked) in words and "saw.toml" in words
    # no quantity is invented
    assert all(isinstance(v, str | int) for v in build.values.values())


def test_a_belt_has_its_idler_where_the_belt_meets_it_after_the_driver():
    build, _ = desk.new_build("Saw", desk.BLANK, "inch", Ticked(engine="petrol engine", belts=2, idlers=True))
    for stage in build.names("stage"):
        at = f"stage[{stage}]"
        driver, idler, driven = build.names(f"{at}.pulley")
        assert (build.get(f"{at}.driver"), build.get(f"{at}.driven")) == (driver, driven)
        assert build.get(f"{at}.takeup.idler") == idler == "idler"
        # what holds it is the builder's to say
        assert build.get(f"{at}.takeup.kind") is None and build.get(f"{at}.pulley[{idler}].side") is None


@pytest.mark.parametrize(
    "ticked",
    [
        Ticked(belts=1),
        Ticked(belts=2, idlers=True),
        Ticked(idlers=True),
        Ticked(pin=True, driveline=True),
        Ticked(engine="electric motor", chains=2),
        Ticked(shaft=True, switches=("guard", "key"), rest_none=True),
        Ticked(clutch="idler", rest_none=True),
        Ticked(clutch="electromagnetic", rest_none=True),
    ],
)
def test_any_ticked_parts_make_a_build_that_is_worked_up(ticked):
    build, _ = desk.new_build("Saw", desk.BLANK, "metric", ticked)
    assert not work_up(build).faults
    assert build.is_none("shear_pin") == ticked.rest_none
    assert build.is_none("circuit") == (ticked.rest_none and ticked.clutch == "idler")
    assert not (ticked.switches and build.is_none("clutch"))


def test_a_record_is_linked_to_where_the_lab_shows_it_and_nowhere_else(tmp_path, monkeypatch):
    (tmp_path / "top" / "notebooks").mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "top" / "notebooks")
    assert desk.way_to(tmp_path / "top/data/a b/x#1.html") == "../data/a%20b/x%231.html"
    assert desk.way_to(tmp_path / "x.html") == ""
