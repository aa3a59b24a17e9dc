"""Two who keep at once: what each changed stands, and only what both changed is asked about."""

from __future__ import annotations

import itertools
import random
import threading

import pytest
from jackshaft.buildfile import (
    Answer,
    BuildProblems,
    ChangedOnDisk,
    DoesNotFit,
    KeyConflict,
    edited,
    load,
    parse,
    previous_of,
)
from jackshaft.buildfile.merging import merge
from jackshaft.buildfile.orders import agreed_order

TEXT = """schema = 1
name = "x"

[[stage]]
name = "s"
kind = "belt"
driver = "E"
driven = "J"

[[stage.pulley]]
name = "E"
x = "0 in"
y = "0 in"

[[stage.pulley]]
name = "B"
x = "1 in"
y = "0 in"

[[stage.pulley]]
name = "J"
x = "2 in"
y = "0 in"

[circuit]
fuse = "10 A"
wire = { value = "16 AWG", known = "plate" }

[[bearing]]
name = "a"
bore = "17 mm"
"""
P = "stage[s].pulley"


def at(name, x="5 in"):
    return {f"{P}[{name}].x": x, f"{P}[{name}].y": "1 in"}


def parse_of(text):
    return parse(text.encode(), file="x.toml")


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "small.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def both(file, mine, theirs, settle=None):
    """Two read one file; theirs is kept first, then mine."""
    file.write_text(TEXT, encoding="utf-8")
    build, other = load(file), load(file)
    other.save_values(theirs)
    try:
        kept = build.save_values(mine, settle=settle)
    finally:
        now = load(file)
    assert kept.values == now.values and kept.lists == now.lists and kept.digest == now.digest
    return kept


def clash(file, mine, theirs):
    with pytest.raises(KeyConflict) as caught:
        both(file, mine, theirs)
    assert load(file).values == caught.value.now.values, "something was written"
    return caught.value


@pytest.mark.parametrize(
    ("mine", "theirs"),
    [
        ({"circuit.fuse": "15 A"}, {"bearing[a].bore": "20 mm"}),
        ({"circuit.fuse": ""}, {"circuit.wire": "14 AWG"}),
        ({"circuit.fuse": "15 A"}, {"bearing": ()}),
        ({"bearing[b].bore": "12 mm"}, {"bearing[c].bore": "15 mm"}),
        ({P: ("E", "J", "B")}, {f"{P}[B].x": "7 in"}),
        ({P: ("E", "J", "B")}, {f"{P}[J].diameter": "3 in"}),
        ({P: ("E", "K", "B", "J"), **at("K")}, {P: ("E", "B", "L", "J"), **at("L", "6 in")}),
        ({P: ("E", "J")}, {P: ("E", "B", "K", "J"), **at("K")}),
        ({P: ("J", "B", "E")}, {P: ("E", "B", "J", "K"), **at("K")}),
        ({P: ("E", "J")}, {"circuit.fuse": "20 A"}),
        ({"stage[t].kind": "belt"}, {P: ("J", "B", "E")}),
    ],
)
def test_what_does_not_meet_stands_and_who_comes_first_decides_nothing(file, mine, theirs):
    one = both(file, mine, theirs)
    other = both(file, theirs, mine)
    assert dict(one.values) == dict(other.values)
    assert {k: set(v) for k, v in one.lists.items()} == {k: set(v) for k, v in other.lists.items()}
    for key, value in (mine | theirs).items():
        if isinstance(value, str):
            assert getattr(one.get(key), "text", one.get(key)) == (value or None), key


@pytest.mark.parametrize(
    ("mine", "theirs", "names"),
    [
        ({P: ("E", "K", "B", "J"), **at("K")}, {P: ("E", "B", "L", "J"), **at("L", "6 in")}, ("E", "K", "B", "L", "J")),
        ({P: ("E", "J")}, {P: ("E", "B", "K", "J"), **at("K")}, ("E", "K", "J")),
        ({P: ("J", "B", "E")}, {P: ("E", "B", "J", "K"), **at("K")}, ("J", "K", "B", "E")),
        ({P: ("E", "B", "J", "K"), **at("K")}, {P: ("J", "E", "B")}, ("J", "K", "E", "B")),
        ({P: ("J", "B", "E")}, {P: ("J", "B", "E")}, ("J", "B", "E")),
    ],
)
def test_the_order_of_a_list_is_agreed(file, mine, theirs, names):
    assert both(file, mine, theirs).names(P) == names


@pytest.mark.parametrize(
    "same",
    [
        {"circuit.fuse": "15 A"},
        {"circuit.fuse": ""},
        {"bearing[b].bore": "12 mm"},
        {P: ("J", "B", "E")},
        {P: ("E", "J")},
        {P: ("E", "K", "B", "J"), **at("K")},
    ],
)
def test_what_both_want_alike_is_no_clash(file, same):
    kept = both(file, same, same)
    file.write_text(TEXT, encoding="utf-8")
    assert kept.values == load(file).save_values(same).values


def test_a_size_in_other_units_is_the_same_size(file):
    assert both(file, {"bearing[a].bore": "25.4 mm"}, {"bearing[a].bore": "1 in"}).get("bearing[a].bore").si == 0.0254


@pytest.mark.parametrize(
    ("mine", "theirs", "words"),
    [
        ({"circuit.fuse": "15 A"}, {"circuit.fuse": "20 A"}, [("circuit.fuse", "10 A", "15 A", "20 A")]),
        ({"circuit.fuse": ""}, {"circuit.fuse": "20 A"}, [("circuit.fuse", "10 A", "not known", "20 A")]),
        ({"circuit.fuse": "15 A"}, {"circuit.fuse": ""}, [("circuit.fuse", "10 A", "15 A", "not known")]),
        ({f"{P}[B].x": "3 in"}, {P: ("E", "J")}, [(f"{P}[B]", "there", "changed: x = 3 in", "removed")]),
        ({P: ("E", "J")}, {f"{P}[B].x": "3 in"}, [(f"{P}[B]", "there", "removed", "changed: x = 3 in (was 1 in)")]),
        (
            {"bearing[b].bore": "12 mm"},
            {"bearing[b].bore": "15 mm"},
            [("bearing[b]", "not there", "bore = 12 mm", "bore = 15 mm")],
        ),
        ({P: ("E", "J", "B")}, {P: ("B", "E", "J")}, [(P, "E - B - J", "E - J - B", "B - E - J")]),
        (
            {"circuit.fuse": "15 A", "circuit.wire": "12 AWG", "bearing[a].bore": "20 mm"},
            {"circuit.fuse": "20 A", "circuit.wire": "14 AWG"},
            [("circuit.fuse", "10 A", "15 A", "20 A"), ("circuit.wire", "16 AWG (plate)", "12 AWG", "14 AWG (chosen)")],
        ),
    ],
)
def test_what_both_changed_is_asked_about(file, mine, theirs, words):
    conflict = clash(file, mine, theirs)
    assert [(c.key, c.read, c.mine, c.theirs) for c in conflict.clashes] == words
    assert isinstance(conflict, ChangedOnDisk) and "Nothing was written" in str(conflict)
    for key, *said in words:
        assert key in str(conflict) and all(w in str(conflict) for w in said)
    assert "ernel" not in str(conflict)
    # Answered, mine is as if I had come after them, and theirs as if I had not changed it.
    won = both(file, mine, theirs, conflict.answer("mine"))
    lost = both(file, mine, theirs, conflict.answer("theirs"))
    for key, _, _, _ in words:
        for k in {*won.values, *lost.values, *load(file).values}:
            if k == key or k.startswith(key + "."):
                assert lost.values.get(k) == conflict.now.values.get(k)
    assert won.values != lost.values or won.lists != lost.lists
    if "bearing[a].bore" in mine:
        assert won.get("bearing[a].bore").text == lost.get("bearing[a].bore").text == "20 mm"


def test_mine_puts_back_a_part_that_was_removed_where_it_stood(file):
    conflict = clash(file, {f"{P}[B].x": "3 in"}, {P: ("E", "J")})
    kept = both(file, {f"{P}[B].x": "3 in"}, {P: ("E", "J")}, conflict.answer("mine"))
    assert kept.names(P) == ("E", "B", "J")
    assert [kept.get(f"{P}[B].{k}").text for k in "xy"] == ["3 in", "0 in"]


def test_mine_replaces_a_part_that_both_added_as_a_whole(file):
    mine = {"stage[t].kind": "belt", "stage[t].pulley": ("A",), **{f"stage[t].pulley[A].{k}": "1 in" for k in "xy"}}
    theirs = {
        "stage[t].kind": "belt",
        "stage[t].pulley": ("C", "A"),
        **{f"stage[t].pulley[C].{k}": "2 in" for k in "xy"},
    }
    conflict = clash(file, mine, theirs)
    assert [c.key for c in conflict.clashes] == ["stage[t]"]
    kept = both(file, mine, theirs, conflict.answer("mine"))
    assert kept.names("stage[t].pulley") == ("A",) and kept.get("stage[t].pulley[A].x").text == "1 in"
    kept = both(file, mine, theirs, conflict.answer("theirs"))
    assert kept.names("stage[t].pulley") == ("C", "A") and kept.get("stage[t].pulley[A].x") is None


def test_a_part_that_both_added_is_no_clash_where_one_says_all_of_the_other(file):
    theirs = {"bearing[b].bore": "12 mm", "bearing[b].width": "10 mm"}
    kept = both(file, {"bearing[b].name": "b"}, theirs)
    assert kept.get("bearing[b].width").text == "10 mm"
    assert both(file, theirs, {"bearing[b].name": "b"}).values == kept.values


@pytest.mark.parametrize("side", ["mine", "theirs"])
@pytest.mark.parametrize("chapter", ["circuit", "bearing"])
def test_a_chapter_that_was_said_not_to_exist(file, chapter, side):
    mine = {"circuit.fuse": "15 A"} if chapter == "circuit" else {"bearing[a].bore": "20 mm"}
    build = load(file)
    cut = TEXT.index("[circuit]"), TEXT.index("[[bearing]]")
    rest = TEXT[: cut[0]] + TEXT[cut[1] :] if chapter == "circuit" else TEXT[: cut[1]]
    file.write_text(rest.replace('name = "x"', f'name = "x"\n{chapter} = "none"'), encoding="utf-8")
    with pytest.raises(KeyConflict) as caught:
        build.save_values(mine)
    assert [(c.key, c.theirs) for c in caught.value.clashes] == [(chapter, "none")]
    kept = build.save_values(mine, settle=caught.value.answer(side))
    assert kept.is_none(chapter) == (side == "theirs")
    if side == "mine":
        assert dict(kept.values) == dict(parse_of(TEXT).with_values(mine).values)


def test_an_answer_holds_only_for_what_was_seen(file):
    conflict = clash(file, {"circuit.fuse": "15 A"}, {"circuit.fuse": "20 A"})
    build = parse_of(TEXT)
    build = type(build)(build.values, build.lists, file.name, file, "", TEXT)
    load(file).save_values({"circuit.fuse": "25 A"})
    with pytest.raises(KeyConflict) as again:
        build.save_values({"circuit.fuse": "15 A"}, settle=conflict.answer("mine"))
    assert again.value.clashes[0].theirs == "25 A" and load(file).get("circuit.fuse").text == "25 A"
    kept = build.save_values({"circuit.fuse": "15 A"}, settle=again.value.answer("mine"))
    assert kept.get("circuit.fuse").text == "15 A"


def test_an_answer_to_a_long_part_holds_only_for_all_of_it(file):
    many = {f"stage[t].pulley[p{n}].{k}": f"{n} in" for n in range(9) for k in "xy"}
    conflict = clash(file, {"stage[t].kind": "belt"}, many)
    build = parse_of(TEXT)
    build = type(build)(build.values, build.lists, file.name, file, "", TEXT)
    load(file).save_values({"stage[t].pulley[p8].x": "20 in"})
    with pytest.raises(KeyConflict) as again:
        build.save_values({"stage[t].kind": "belt"}, settle=conflict.answer("mine"))
    assert again.value.clashes[0].theirs == conflict.clashes[0].theirs
    assert again.value.clashes[0].mark != conflict.clashes[0].mark


def test_a_build_that_was_tried_with_other_values_is_merged_as_it_was_read(file):
    tried = load(file).with_values({"bearing[a].bore": "30 mm"})
    load(file).save_values({"circuit.fuse": "20 A"})
    kept = tried.save_values({"bearing[a].bore": "25 mm"})
    assert (kept.get("bearing[a].bore").text, kept.get("circuit.fuse").text) == ("25 mm", "20 A")


def test_an_answer_for_each_key(file):
    mine, theirs = ({"circuit.fuse": a, "circuit.wire": b} for a, b in (("15 A", "12 AWG"), ("20 A", "14 AWG")))
    conflict = clash(file, mine, theirs)
    some = conflict.answer("mine", "circuit.fuse")
    assert some == {"circuit.fuse": Answer("mine", conflict.clashes[0].mark)} and conflict.clashes[0].mark
    with pytest.raises(KeyConflict) as rest:
        both(file, mine, theirs, some)
    assert [c.key for c in rest.value.clashes] == ["circuit.wire"]
    kept = both(file, mine, theirs, some | conflict.answer("theirs", "circuit.wire"))
    assert (kept.get("circuit.fuse").text, kept.get("circuit.wire").text) == ("15 A", "14 AWG")
    with pytest.raises(ValueError, match="wanted mine or theirs"):
        conflict.answer("ours")


def test_what_does_not_go_with_their_change_is_refused_and_says_so(file):
    with pytest.raises(DoesNotFit, match="changed elsewhere since it was read") as caught:
        both(file, {"stage[s].driver": "B"}, {P: ("E", "J")})
    assert "stage[s].driver" in str(caught.value) and caught.value.now.names(P) == ("E", "J")
    assert isinstance(caught.value, BuildProblems) and load(file).get("stage[s].driver") == "E"


def test_the_merged_build_is_approved_under_the_lock_before_it_is_written(file):
    build = load(file)
    load(file).save_values({"bearing[a].bore": "20 mm"})
    before = file.read_bytes(), previous_of(file).read_bytes()

    def no(new):
        assert (new.get("bearing[a].bore").text, new.get("circuit.fuse").text) == ("20 mm", "15 A")
        assert file.read_bytes() == before[0]
        assert file.with_name(".small.toml.lock").exists()
        raise ArithmeticError("no")

    with pytest.raises(ArithmeticError):
        build.save_values({"circuit.fuse": "15 A"}, approve=no)
    assert (file.read_bytes(), previous_of(file).read_bytes()) == before
    assert [p.name for p in file.parent.iterdir() if p.name.startswith(".")] == []
    seen = []
    build.save_values({"circuit.fuse": "15 A"}, approve=seen.append)
    assert len(seen) == 1 and load(file).get("circuit.fuse").text == "15 A"


def test_threads_of_one_program_lose_nothing(file):
    def add(who):
        build = load(file)
        for n in range(8):
            build = build.save_values({f"bearing[{who}{n}].bore": "12 mm"})

    threads = [threading.Thread(target=add, args=(who,)) for who in "pqr"]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert set(load(file).names("bearing")) == {"a", *(f"{w}{n}" for w in "pqr" for n in range(8))}


def test_orders_against_all_small_cases():
    """Nothing is lost or doubled, and whoever did not touch the order or the list gives way."""
    lists = [tuple(x) for n in range(4) for x in itertools.permutations("abc", n)]
    for mine, theirs in itertools.product(lists, lists):
        read = ("a", "b")
        for lead in ("", "mine", "theirs"):
            got = agreed_order(read, mine, theirs, mine, lead=lead)
            if got is None:
                common = [n for n in "ab" if n in mine and n in theirs]
                assert not lead and [n for n in mine if n in common] != [n for n in theirs if n in common]
                continue
            wanted = {n for n in "abc" if (n in mine and n in theirs) or (n not in read and n in (*mine, *theirs))}
            assert len(got) == len(set(got)) and set(got) == wanted
        if theirs == read:
            assert agreed_order(read, mine, theirs, mine) == mine
        if mine == read:
            assert agreed_order(read, mine, theirs, mine) == theirs


RANDOM = """schema = 1
name = "x"
[engine]
belt_at = "1 in"
""" + "".join(
    [f'[[bearing]]\nname = "{n}"\nbore = "17 mm"\n' for n in "ab"]
    + [
        f'[[shaft]]\nname = "{s}"\n' + "".join(f'[[shaft.step]]\nname = "{n}"\ndiameter = "1 in"\n' for n in "uv")
        for s in "pq"
    ]
)


def some_changes(chance):
    made = {}
    for _ in range(chance.randint(1, 4)):
        key, value = chance.choice(
            [
                (f"engine.{chance.choice(['belt_at', 'shaft_diameter'])}", chance.choice(["2 in", "3 in"])),
                (
                    f"bearing[{chance.choice('abc')}].{chance.choice(['bore', 'width'])}",
                    chance.choice(["20 mm", "9 mm"]),
                ),
                ("bearing", tuple(chance.sample("abc", chance.randint(0, 3)))),
                (
                    f"shaft[{chance.choice('pqr')}].step[{chance.choice('uvw')}].diameter",
                    chance.choice(["2 in", "3 in"]),
                ),
                (f"shaft[{chance.choice('pq')}].step", tuple(chance.sample("uvw", chance.randint(0, 3)))),
                ("shaft", tuple(chance.sample("pqr", chance.randint(0, 3)))),
            ]
        )
        made[key] = value
    # Nobody takes a part away and changes it at once.
    gone = [f"{k}[{n}]" for k, v in made.items() if isinstance(v, tuple) for n in "abpquv" if n not in v]
    return {k: v for k, v in made.items() if not any(k.startswith(g) for g in gone)}


def put(read, now, changes, settle=None):
    """What a save does but for the disk."""
    merged = merge(read, now, changes, settle or {})
    return parse(edited(now.text, merged.changes, restored=merged.restored).encode(), file="x.toml")


def inside(build, key):
    return {k: v for k, v in build.values.items() if k == key or k.startswith(key + ".")}


def test_random_changes_of_two():
    """What one changed and the other did not stands; of a clash the chosen side stands, as it was meant."""
    read, merged, asked = parse(RANDOM.encode(), file="x.toml"), 0, 0
    for seed in range(150):
        chance = random.Random(seed)
        mine, theirs = some_changes(chance), some_changes(chance)
        sides = put(read, read, mine), put(read, read, theirs)
        try:
            kept = put(read, sides[1], mine)
        except KeyConflict as conflict:
            asked += 1
            for side, meant in zip(("mine", "theirs"), sides, strict=True):
                kept = put(read, sides[1], mine, conflict.answer(side))
                for one in conflict.clashes:
                    if one.key.endswith("]") or ("." in one.key and not one.key.endswith(".step")):
                        assert inside(kept, one.key) == inside(meant, one.key), (seed, side, one)
            continue
        merged += 1
        for own in sides:
            for key in {*own.values, *read.values}:
                if own.values.get(key) != read.values.get(key):
                    assert kept.values.get(key) == own.values.get(key), (seed, key)
    assert merged > 50 and asked > 25
