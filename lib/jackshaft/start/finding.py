"""Any key found by the words of the trade, whatever the build file calls it."""

from __future__ import annotations

import re
from collections.abc import Container, Iterator
from functools import lru_cache
from typing import NamedTuple

from jackshaft.buildfile import Build, split
from jackshaft.buildfile.schema import CHAPTERS, ITEM, NO_PARTS, Field, walk
from jackshaft.buildfile.trade_words import CALLED, plain
from jackshaft.start.filling import homes, part_words
from jackshaft.start.usual import usual_first

#: What the shop says, and words of the keys that are meant by it; trade usage, no source.
SAID = {
    "amps": "current",
    "amperage": "current",
    "axle": "shaft",
    "bolt pattern": "circle",
    "bushing": "bush",
    "cardan": "driveline",
    "center": "centre",
    "center distance": "centres",
    "circlip": "ring groove",
    "clip": "ring groove",
    "coil ohms": "coil resistance",
    "drive shaft": "driveline",
    "earth": "return by",
    "flyback": "suppression",
    "flywheel": "inertia / flywheel",
    "governor": "full speed",
    "grub screw": "set screw",
    "guard switch": "interlock",
    "hp": "power",
    "horsepower": "power",
    "keyway": "key width / keyseat / key",
    "kill switch": "interlock",
    "life": "wanted life / reliability",
    "motor": "engine",
    "no load speed": "full speed",
    "ohms": "resistance",
    "part number": "marking / marked / designation",
    "propeller shaft": "driveline",
    "pto": "spline / driveline",
    "rpm": "speed",
    "safety switch": "interlock",
    "seat switch": "interlock",
    "sheave": "pulley",
    "snap ring": "ring groove",
    "spark": "suppression / clamp voltage / contact peak",
    "sprocket": "driver teeth / driven teeth / chain",
    "tensioner": "takeup",
    "tightener": "takeup / idler",
    "universal joint": "driveline",
    "volts": "voltage",
    "wire gauge": "wire",
}

#: What a hit counts for, by where the word stands; a whole word counts for more than the beginning of one.
IN_NAME, IN_KIND, IN_MEANING, IN_CHOICES, IN_PART, WHOLE = 8, 6, 4, 4, 2, 1


class Hit(NamedTuple):
    """A field that was found: its words, the part or list that it lies in, and its key; no key where no part is yet."""

    words: str
    at: str
    key: str


def find(build: Build, text: str) -> tuple[Hit, ...]:
    """Return the fields that trade words mean, the likeliest first; every one holds all words that were typed.

    A field of a list stands once for each of its parts. Where the list has none yet, it stands once, without a key.

    Parameters
    ----------
    build : Build
        The build, for the parts that are there.
    text : str
        What was typed, such as "sheave diameter".
    """
    wanted = [_meant(words) for words in _asked(plain(text))]
    if not wanted:
        return ()
    forms = {at: f" {plain(part_words(at))}" for _, at in homes(build)}
    scored = []
    for number, (path, field) in enumerate(_fields()):
        points = [max(_points(path, field.name, word) for word in words) for words in wanted]
        # a word that no field has may be the name of a part
        names = [f" {words[0]}" for words, found in zip(wanted, points, strict=True) if not found]
        hits = [h for h in _hits(build, path, field, forms) if all(n in forms.get(h.at, "") for n in names)]
        # a part that is asked for comes before a question about it that is answered by yes or no
        asked = (IN_NAME - IN_MEANING) * len(wanted) * (field.kind == "yes/no")
        scored.append((asked - sum(points), *_rank(path, field.name), number, hits))
    return tuple(hit for *_, hits in sorted(scored, key=lambda s: s[:-1]) for hit in hits)


def _rank(path: str, name: str) -> tuple[bool, int, int]:
    """Return where a field stands among others: first what is written down first, in the torque's way."""
    first = usual_first(path, dict(walk())[path])[0]
    return name not in first, [*dict(walk())].index(path), first.index(name) if name in first else 0


def _asked(text: str) -> list[str]:
    """Return a text's words, with those that the shop says together as one."""
    several = sorted((plain(words) for words in SAID if " " in plain(words)), key=len, reverse=True)
    found = []
    for words in several:
        if re.search(rf"\b{re.escape(words)}(e?s)?\b", text):
            found.append(words)
            text = re.sub(rf"\b{re.escape(words)}(e?s)?\b", " ", text)
    return found + text.split()


def _meant(words: str) -> tuple[str, ...]:
    """Return words with what the shop means by them, each without the s of several."""
    said = {plain(k): v.split(" / ") for k, v in SAID.items()}
    known = said.get(words) or said.get(words.removesuffix("s")) or ()
    return tuple(dict.fromkeys(_stem(w) for w in (words, *known)))


def _stem(word: str) -> str:
    word = plain(word)
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


@lru_cache(maxsize=1)
def _fields() -> tuple[tuple[str, Field], ...]:
    return tuple(
        (path, field)
        for path, section in walk()
        for field in section.fields
        if not path.startswith(NO_PARTS) and field.name != "schema" and not (section.many and field.name == "name")
    )


@lru_cache(maxsize=4096)
def _words(path: str, name: str) -> tuple[tuple[int, str], ...]:
    """Return what a field can be found by, each text with what a hit in it counts for."""
    section = dict(walk())[path]
    field = section.field(name)
    called = [words for choice in field.choices for words in (choice, *CALLED.get(choice, ()))]
    chapter = next((c.title for c in CHAPTERS if c.name == re.match("[a-z_]*", path)[0]), "")
    texts = (
        (IN_NAME, [name]),
        (IN_KIND, [part_of_path(path)]),
        (IN_MEANING, [field.help]),
        (IN_CHOICES, called),
        (IN_PART, [path.replace(ITEM, " ").replace(".", " "), section.title, chapter]),
    )
    return tuple((points, f" {plain(' '.join(words))} ") for points, words in texts)


def _points(path: str, name: str, word: str) -> int:
    """Return what a word counts for at a field: most in its name, nothing where it does not begin a word of it."""
    return max(
        (
            points + WHOLE * bool(re.search(rf" {re.escape(word)}s? ", text))
            for points, text in _words(path, name)
            if f" {word}" in text
        ),
        default=0,
    )


def _hits(build: Build, path: str, field: Field, forms: Container[str]) -> Iterator[Hit]:
    name = field.name.replace("_", " ")
    places = [at for at in build.places(path) if at in forms]
    for at in places:
        yield Hit(f"{name}: {part_words(at)}", at, f"{at}.{field.name}" if at else field.name)
    if not places and (home := _list_without(build, path)):
        yield Hit(f"{name}: no {part_of_path(home)} in the build yet", home, "")


def _list_without(build: Build, path: str) -> str:
    """Return the list that must have a part before a path leads anywhere; nothing where the path ends in one there."""
    *lists, _ = path.split(ITEM)
    for n in range(len(lists)):
        homes = [at for at in build.places(ITEM.join(lists[: n + 1])) if not build.is_none(at)]
        if not any(build.names(at) for at in homes):
            return homes[0] if homes else ""
    return ""


def part_of_path(path: str) -> str:
    """Return what the last list or chapter of a path or key is called: "pulley" of ``stage[NAME].pulley[NAME]``."""
    return split(path.removesuffix(ITEM))[-1][0].replace("_", " ") if path else ""


__all__ = ["SAID", "Hit", "find"]
