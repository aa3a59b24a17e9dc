"""The chapter that DEVELOPERS.md shows is a chapter: it is found by its folder alone, runs and judges."""

import re
import sys
from pathlib import Path

import jackshaft.chapters as home
import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.results import chapters, work_up
from jackshaft.results.checks import GO, STOP, UNDECIDED

GUIDE = Path(__file__).parents[2] / "DEVELOPERS.md"
BLOCK = re.compile(r"`chapters/(\w+)/(\w+)\.py`:\n\n +```python\n(.*?) +```", re.DOTALL)


@pytest.fixture
def with_the_example(tmp_path, monkeypatch):
    blocks = BLOCK.findall(GUIDE.read_text(encoding="utf-8"))
    for folder, file, code in blocks:
        (tmp_path / folder).mkdir(exist_ok=True)
        plain = "\n".join(line.removeprefix("   ") for line in code.splitlines()) + "\n"
        (tmp_path / folder / f"{file}.py").write_text(plain, encoding="utf-8")
    monkeypatch.setattr(home, "__path__", [*home.__path__, str(tmp_path)])
    chapters.cache_clear()
    yield blocks
    chapters.cache_clear()
    for name in [m for m in sys.modules if m.startswith("jackshaft.chapters.weight")]:
        del sys.modules[name]
    vars(home).pop("weight", None)


def test_the_example_is_short(with_the_example):
    assert {file for _, file, _ in with_the_example} == {"__init__", "analysis"}
    assert sum(len(code.splitlines()) for *_, code in with_the_example) < 40


@pytest.mark.parametrize(("mass", "verdict"), [("20 kg", GO), ("80 kg", STOP), ("", UNDECIDED)])
def test_the_example_judges(with_the_example, mass, verdict):
    results = work_up(load(DEMO).with_values({"work.weight": mass}))
    assert not results.faults
    found = results.chapters["weight"]
    assert found.title == "Weight on the hitch"
    assert [c.verdict for c in found.checks] == [verdict]
