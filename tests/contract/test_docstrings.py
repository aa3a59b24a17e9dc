"""Public functions say what they take: docstrings whose parameters equal the signature."""

import importlib
import inspect
import pkgutil
import re
from functools import cache

import jackshaft

#: Rooms whose functions take physical quantities and so must list each parameter and name a source.
STRICT = ("jackshaft.mechanics.",)


@cache
def modules(begin: tuple[str, ...] = ("jackshaft",)) -> list[str]:
    """Every module whose name begins so; not at import, for each worker of a run imports this file."""
    found = (m.name for m in pkgutil.walk_packages(jackshaft.__path__, "jackshaft."))
    return sorted(n for n in found if n.startswith(begin) and not n.endswith("__main__"))


def public(module):
    for name, thing in vars(module).items():
        if name.startswith("_") or getattr(thing, "__module__", None) != module.__name__:
            continue
        if inspect.isfunction(thing) or inspect.isclass(thing):
            yield name, thing


def documented(doc: str) -> list[str]:
    section = re.search(r"Parameters\n\s*-{5,}\n(.*?)(?:\n\s*\n\s*[A-Z][a-z]+\n\s*-{3,}|\Z)", doc, re.DOTALL)
    if not section:
        return []
    names: list[str] = []
    for line in inspect.cleandoc(section[1]).splitlines():
        found = re.match(r"^([*\w][\w, *]*) : ", line)
        if found:
            names += [n.strip(" *") for n in found[1].split(",")]
    return names


def test_every_public_thing_is_described(for_each):
    def described(name):
        module = importlib.import_module(name)
        assert (module.__doc__ or "").strip(), f"{name} has no docstring"
        bare = [n for n, thing in public(module) if not (inspect.getdoc(thing) or "").strip()]
        assert bare == []

    for_each(modules(), described)


def test_parameters_equal_the_signature(for_each):
    def equal(name):
        wrong = []
        for label, thing in public(importlib.import_module(name)):
            if not inspect.isfunction(thing):
                continue
            wanted = [p for p in inspect.signature(thing).parameters]
            found = documented(inspect.getdoc(thing))
            if wanted != found:
                wrong.append(f"{label}: signature {wanted}, docstring {found}")
        assert wrong == []

    for_each(modules(STRICT), equal)


def test_formulas_name_their_source(for_each):
    def named(name):
        bare = [
            label
            for label, thing in public(importlib.import_module(name))
            if inspect.isfunction(thing) and not re.search(r"\bSource", inspect.getdoc(thing) or "")
        ]
        assert bare == []

    for_each(modules(STRICT), named)
