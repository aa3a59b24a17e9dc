"""Lists of parts told in order: parts added, removed, put in another order, with comments and atomicity kept."""

from __future__ import annotations

import pytest
from jackshaft.buildfile import DEMO, BuildProblems, NoSuchKey, builds_dir, edited, load, parse

TEXT = """schema = 1
name = "x"

# about the stage
[[stage]]
name = "s"
kind = "belt"
driver = "E"
driven = "J"

[[stage.pulley]]
name = "E"   # first
x = "0 in"
y = "0 in"

# above B
[[stage.pulley]]
name = "B"
x = "1 in"
y = "0 in"
# in B

# above J
[[stage.pulley]]
name = "J"
x = "2 in"
y = "0 in"

# above the take-up
[stage.takeup]
kind = "fixed idler"
idler = "B"
"""
AT = "stage[s]"


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "small.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def build():
    return parse(TEXT.encode(), file="small.toml")


def test_the_same_order_changes_nothing(file):
    new = load(file).save_values({f"{AT}.pulley": ("E", "B", "J")})
    assert file.read_text(encoding="utf-8") == TEXT and new.names(f"{AT}.pulley") == ("E", "B", "J")
    assert not file.with_name("small.toml.previous").exists()


@pytest.mark.parametrize("names", [("E", "J", "B"), ("B", "J", "E"), ("J", "E", "B")])
def test_an_order_is_taken_and_every_comment_stays(file, names):
    new = load(file).save_values({f"{AT}.pulley": names})
    text = file.read_text(encoding="utf-8")
    assert new.names(f"{AT}.pulley") == names == load(file).names(f"{AT}.pulley")
    assert new.values == load(file).values and set(new.values) == set(build().values)
    assert sorted(text.split()) == sorted(TEXT.split())
    blocks = text.split("[[stage.pulley]]\n")
    for name, inside in (("E", "# first"), ("B", "# in B")):
        assert inside in next(b for b in blocks if b.startswith(f'name = "{name}"'))


def test_a_comment_above_a_part_goes_with_it(file):
    load(file).save_values({f"{AT}.pulley": ("E", "J", "B")})
    text = file.read_text(encoding="utf-8")
    assert '# above J\n[[stage.pulley]]\nname = "J"' in text and '# above B\n[[stage.pulley]]\nname = "B"' in text
    assert "# above the take-up\n[stage.takeup]" in text


def test_a_part_is_removed_with_all_that_is_known_of_it(file):
    changes = {f"{AT}.pulley": ("E", "J"), f"{AT}.takeup.idler": ""}
    tried = build().with_values(changes)
    new = load(file).save_values(changes)
    assert tried.values == new.values and tried.lists == new.lists
    assert not any("[B]" in k for k in new.values) and new.names(f"{AT}.pulley") == ("E", "J")
    text = file.read_text(encoding="utf-8")
    assert "# above B" in text and "# above J" in text and "# in B" not in text


def test_a_part_that_something_refers_to_cannot_go(file):
    with pytest.raises(BuildProblems, match="takeup.idler"):
        load(file).save_values({f"{AT}.pulley": ("E", "J")})
    assert file.read_text(encoding="utf-8") == TEXT


def test_a_part_is_added_where_it_is_told_and_filled(file):
    changes = {
        f"{AT}.pulley": ("E", "idler 1", "B", "J"),
        f"{AT}.pulley[idler 1].x": "3 in",
        f"{AT}.pulley[idler 1].y": "4 in",
        f"{AT}.takeup.idler": "idler 1",
    }
    tried, new = build().with_values(changes), load(file).save_values(changes)
    assert tried.values == new.values and dict(tried.lists) == dict(new.lists)
    assert new.names(f"{AT}.pulley") == ("E", "idler 1", "B", "J")
    assert '[[stage.pulley]]\nname = "idler 1"\nx = "3 in"\ny = "4 in"\n\n# above B\n' in file.read_text(
        encoding="utf-8"
    )
    assert file.with_name("small.toml.previous").read_text(encoding="utf-8") == TEXT


def test_changes_may_come_in_any_order(file):
    changes = {f"{AT}.pulley[K].y": "4 in", f"{AT}.pulley[K].x": "3 in", f"{AT}.pulley": ("E", "B", "J", "K")}
    assert load(file).save_values(changes).get(f"{AT}.pulley[K].y").text == "4 in"


@pytest.mark.parametrize(
    ("names", "found"),
    [
        (("E", "E", "J"), "twice"),
        (("E", "J", "a[b]"), "square brackets"),
        (("E", "J", ""), "square brackets"),
        (("E", " B", "J"), "no space before or after"),
    ],
)
def test_bad_names_are_refused_and_nothing_is_written(file, names, found):
    with pytest.raises(BuildProblems, match=found):
        load(file).save_values({f"{AT}.pulley": names})
    with pytest.raises(BuildProblems, match=found):
        build().with_values({f"{AT}.pulley": names})
    assert file.read_text(encoding="utf-8") == TEXT


def test_a_list_of_a_stage_that_is_not_there_is_refused():
    with pytest.raises(BuildProblems, match="no stage called 't'"):
        build().with_values({"stage[t].pulley": ("A", "B")})
    with pytest.raises(NoSuchKey):
        build().with_values({f"{AT}.takeup": ("A", "B")})


def test_what_somebody_else_wrote_is_not_overwritten(file):
    old = load(file)
    file.write_text(TEXT + "# somebody else\n", encoding="utf-8")
    assert old.save_values({f"{AT}.pulley": ("E", "J", "B")}).names(f"{AT}.pulley") == ("E", "J", "B")
    assert "# somebody else\n" in file.read_text(encoding="utf-8")


def test_the_demo_build_loses_an_idler_and_gets_it_back(tmp_path):
    path = tmp_path / f"{DEMO}.toml"
    before = (builds_dir() / f"{DEMO}.toml").read_bytes()
    path.write_bytes(before)
    at = "stage[crank belts].pulley"
    idler = "stage[crank belts].takeup.idler"
    kept = {k: v.text for k, v in load(path).values.items() if k.startswith(f"{at}[I]") and hasattr(v, "text")}
    words = {k: v for k, v in load(path).values.items() if k.startswith(f"{at}[I]") and isinstance(v, str | int)}
    gone = load(path).save_values({at: ("E", "J"), idler: ""})
    assert gone.names(at) == ("E", "J") and gone.get(idler) is None
    back = gone.save_values(
        {at: ("E", "I", "J"), idler: "I", **kept, **{k: v for k, v in words.items() if not k.endswith("name")}}
    )
    assert {k: getattr(v, "si", v) for k, v in back.values.items()} == {
        k: getattr(v, "si", v) for k, v in load(builds_dir() / f"{DEMO}.toml").values.items()
    }


def test_a_new_key_stands_above_the_blank_line(file):
    load(file).save_values({f"{AT}.pulley[E].diameter": "4 in"})
    assert 'y = "0 in"\ndiameter = "4 in"\n\n# above B' in file.read_text(encoding="utf-8")


def test_one_part_too_many_is_refused_by_its_number_and_not_as_a_part_that_is_not_there():
    text = edited(load(DEMO).text, {f"bearing[b{n}].name": f"b{n}" for n in range(58)})
    build = parse(text.encode(), file="full.toml")
    with pytest.raises(BuildProblems, match="list of 61 parts; wanted at most 60 parts"):
        build.with_values({"bearing": (*build.names("bearing"), "one more"), "bearing[one more].bore": "20 mm"})
