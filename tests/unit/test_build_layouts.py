"""Every way that TOML has of writing the same build can be edited: inline lists, dotted and quoted keys, super tables.

Random builds are written in random layouts and changed; what comes out is read by another reader and held
against the same change of plain data. Comments of what still stands must stay.
"""

from __future__ import annotations

import random
import re
import tomllib

import pytest
from jackshaft.buildfile import edited, load

VALUES = ["1 in", "2600 rpm", "x", "3 mm"]
ODD = ['n\'m\\ "x" \n\t\x01\x7f\u00e9\u2028\U0001f600', "plain", '"""', "'''", "\\", "# no comment", "a = 1"]


class Writer:
    """Writes plain data as TOML in a layout of chance, with a numbered comment here and there."""

    def __init__(self, chance: random.Random):
        self.chance, self.comments = chance, 0

    def comment(self) -> str:
        if self.chance.random() < 0.7:
            return ""
        self.comments += 1
        return f"  # c{self.comments}"

    def key(self, name: str) -> str:
        return self.chance.choices([name, f'"{name}"', f"'{name}'"], [8, 1, 1])[0]

    def inline(self, value) -> str:
        if isinstance(value, dict):
            return "{ " + ", ".join(f"{self.key(k)} = {self.inline(v)}" for k, v in value.items()) + " }"
        if isinstance(value, list):
            if self.chance.random() < 0.5:
                return "[" + ", ".join(map(self.inline, value)) + "]"
            out = "["
            for n, one in enumerate(value):
                above = self.comment().strip()
                out += (f"\n  {above}" if above else "") + f"\n  {self.inline(one)}"
                out += ("," if n < len(value) - 1 or self.chance.random() < 0.6 else "") + self.comment()
            return out + "\n]"
        return f'"{value}"' if isinstance(value, str) else str(value)

    def body(self, data: dict, path: tuple[str, ...]) -> list[str]:
        lines, later = [], []
        for name, value in data.items():
            if not isinstance(value, dict | list):
                lines.append(f"{self.key(name)} = {self.inline(value)}{self.comment()}")
        for name, value in data.items():
            if not isinstance(value, dict | list):
                continue
            how = self.chance.random()
            flat = isinstance(value, dict) and not any(isinstance(v, dict | list) for v in value.values())
            if how < 0.3 or value == []:
                lines.append(f"{self.key(name)} = {self.inline(value)}{self.comment()}")
            elif how < 0.5 and flat:
                lines += [
                    f"{self.key(name)}.{self.key(k)} = {self.inline(v)}{self.comment()}" for k, v in value.items()
                ]
            else:
                later.append((name, value))
        for name, value in later:
            steps = (*path, name)
            for one in value if isinstance(value, list) else [value]:
                heading = ".".join(map(self.key, steps))
                above = self.comment().strip()
                lines += ["", *([above] if above else [])]
                lines.append((f"[[{heading}]]" if isinstance(value, list) else f"[{heading}]") + self.comment())
                lines += self.body(one, steps)
        return lines


def some_build(chance: random.Random) -> dict:
    found: dict = {}
    measured = {"value": "2 in", "known": "measured", "by": "tape"}
    if chance.random() < 0.7:
        names = chance.sample(["work_speed", "idle_speed", "turns"], chance.randint(1, 3))
        found["engine"] = {k: chance.choice([*VALUES, measured]) for k in names}
    if chance.random() < 0.3:
        points = [{"name": n, "speed": "1 rpm"} for n in "ab"[: chance.randint(0, 2)]]
        found["engine"] = found.get("engine", {}) | {"torque_point": points}
    found["clutch"] = chance.choice(["none", {"kind": "k"}])
    found["bearing"] = [{"name": n, "bore": "17 mm"} for n in chance.sample("pqr", chance.randint(0, 3))]
    found["stage"] = []
    for name in chance.sample("stu", chance.randint(1, 3)):
        stage: dict = {"name": name, "kind": "belt"}
        if chance.random() < 0.8:
            stage["pulley"] = [{"name": m, "x": "1 in"} for m in chance.sample("EBJ", chance.randint(0, 3))]
        if chance.random() < 0.5:
            stage["takeup"] = {"kind": "fixed", "idler": "B"}
        found["stage"].append(stage)
    order = list(found)
    chance.shuffle(order)
    top = [("schema", 1), ("name", "b"), ("shown_in", "inch")]
    chance.shuffle(top)
    return dict(top) | {k: found[k] for k in order}


def some_changes(chance: random.Random) -> dict:
    found: dict = {}
    for _ in range(chance.randint(1, 4)):
        value = chance.choice([*VALUES, "", {"value": "2 in", "known": "measured"}])
        stage = f"stage[{chance.choice('stuv')}]"
        key, value = chance.choice(
            [
                (f"engine.{chance.choice(['work_speed', 'turns', 'full_speed'])}", value),
                ("clutch.kind", "w"),
                (f"bearing[{chance.choice('pqrz')}].bore", value),
                ("bearing", tuple(chance.sample("pqrz", chance.randint(0, 4)))),
                (f"{stage}.pulley[{chance.choice('EBJK')}].x", value),
                (f"{stage}.pulley", tuple(chance.sample("EBJK", chance.randint(0, 4)))),
                (f"{stage}.takeup.idler", value),
                (chance.choice(["name", "notes", "purpose"]), chance.choice(ODD)),
                (f"engine.torque_point[{chance.choice('abc')}].speed", value),
            ]
        )
        found[key] = value
    return found


def changed_by_hand(data, changes: dict):
    """The same change on plain data, written here once more and in another way than in the program."""
    for key, value in sorted(changes.items(), key=lambda c: (not isinstance(c[1], tuple), c[0].count("."))):
        steps = re.findall(r"([a-z_]+)(?:\[(.*?)\])?\.?", key)
        at = data
        for name, item in steps[:-1]:
            if not item:
                at[name] = at[name] if isinstance(at.get(name), dict) else {}
                at = at[name]
                continue
            parts = at.setdefault(name, [])
            if item not in [p["name"] for p in parts]:
                parts.append({"name": item})
            at = next(p for p in parts if p["name"] == item)
        last = steps[-1][0]
        if isinstance(value, tuple):
            there = {p["name"]: p for p in at.get(last, [])}
            at[last] = [there.get(n, {"name": n}) for n in value]
        elif value == "":
            at.pop(last, None)
        elif isinstance(at.get(last), dict) and isinstance(value, str):
            if at[last]["value"] != value:
                at[last] = {"value": value, "known": "chosen"}
        else:
            at[last] = value
    return data


def bare(data):
    """Without empty chapters and lists, which say nothing."""
    if isinstance(data, dict):
        return {k: bare(v) for k, v in data.items() if bare(v) not in ({}, [])}
    return [bare(v) for v in data] if isinstance(data, list) else data


@pytest.mark.parametrize("part", range(8))
def test_random_layouts(part):
    for seed in range(part * 60, part * 60 + 60):
        chance = random.Random(seed)
        data = some_build(chance)
        end = chance.choice(["\n", "\n", "\r\n"])
        text = end.join("\n".join(Writer(chance).body(data, ())).split("\n")) + chance.choice(["", end])
        assert tomllib.loads(text) == data
        changes = some_changes(chance)
        made = edited(text, changes)
        assert bare(tomllib.loads(made)) == bare(changed_by_hand(data, changes)), f"seed {seed}: {changes}\n{text}"
        assert made.count("\r\n") == (made.count("\n") if end == "\r\n" and "\n" in text else 0)
        if all(isinstance(v, dict) or (isinstance(v, str) and v) for v in changes.values()):
            gone = set(re.findall(r"# c\d+\b", text)) - set(re.findall(r"# c\d+\b", made))
            # a value that was measured loses how it was, and what was said behind that
            lines = {c: next(x for x in text.splitlines() if re.search(c + r"\b", x)) for c in gone}
            assert all("by" in x or "turns" in x or "_speed" in x for x in lines.values()), lines


INLINE = """schema = 1
name = "x"
bearing = []
engine."work_speed" = "2600 rpm"  # at work
stage = [
  # about the stage
  { name = "s", pulley = [{ name = "E", x = "0 in", y = "0 in" }, { name = "J", x = "9 in", y = "0 in" }] }, # one
]
"""


def test_inline_lists_are_added_to_put_in_order_and_changed(tmp_path):
    path = tmp_path / "inline.toml"
    path.write_text(INLINE)
    at = "stage[s].pulley"
    build = load(path).save_values({f"{at}[K].x": "3 in", f"{at}[K].y": "1 in", "bearing[a].bore": "17 mm"})
    assert build.names(at) == ("E", "J", "K") and build.get("bearing[a].bore").text == "17 mm"
    build = build.save_values({at: ("K", "E", "J"), "stage[t].kind": "belt", "engine.idle_speed": "1200 rpm"})
    assert build.names(at) == ("K", "E", "J") and build.names("stage") == ("s", "t")
    assert build.get(f"{at}[K].x").text == "3 in" and build.get("engine.work_speed").text == "2600 rpm"
    for comment in ("# at work", "# about the stage", "# one"):
        assert comment in build.text
    build = build.save_values({at: ("E", "J"), "stage": ("t", "s"), "bearing": ()})
    assert build.names(at) == ("E", "J") and build.names("stage") == ("t", "s") and not build.names("bearing")


PIECES = """schema = 1
name = "x"
[[engine.torque_point]]
name = "a"
speed = "1000 rpm"
torque = "10 N·m"
[circuit]
fuse = "1 A"
[engine]
# behind
work_speed = "2600 rpm"
[[stage]]
name = "s"
[[stage.pulley]]
name = "E"
[stage.takeup]
# how
[[bearing]]
name = "b"
[[stage]]
name = "t"
"""


def test_super_tables_and_chapters_in_several_pieces():
    changes = {
        "engine.idle_speed": "1200 rpm",
        "engine.torque_point[b].speed": "2000 rpm",
        "engine.torque_point[b].torque": "12 N·m",
        "stage[s].kind": "belt",
        "stage[s].takeup.kind": "fixed idler",
        "stage[t].kind": "belt",
        "circuit.fuse": "3 A",
        "bearing[b].bore": "17 mm",
    }
    made = edited(PIECES, changes)
    assert tomllib.loads(made) == changed_by_hand(tomllib.loads(PIECES), changes)
    assert "# behind" in made and "# how" in made


@pytest.mark.parametrize("name", ODD)
def test_odd_characters_are_saved_as_they_are(tmp_path, name):
    path = tmp_path / "odd.toml"
    path.write_text('schema = 1\nname = "x"\n')
    kept = load(path).save_values({"name": name, "notes": f"a{name}b"})
    assert kept.get("notes") == load(path).get("notes") == f"a{name}b" and load(path).name == name.strip()
