"""What stands in the project: its top level, its words, what it depends on, and guides that are true."""

from __future__ import annotations

import ast
import io
import re
import stat
import subprocess
import sys
import tokenize
import tomllib
from functools import cache
from importlib import metadata
from pathlib import Path

import pytest
from project import ROOT, TEXTS, files, notebooks, text
from test_layers import TIERS

TOP = {"README.md", "DEVELOPERS.md", "LICENSE", "requirements.txt", "notebooks", "lib", "tests", "data"}


def test_the_top_level_holds_what_it_should_and_nothing_else():
    assert {p.parts[0] for p in files() if not p.parts[0].startswith(".")} == TOP


def test_every_file_that_should_be_text_is_looked_at():
    """The word tests below see nearly everything; pictures are all that they may leave out."""
    assert {p.suffix for p in files() if p.suffix not in TEXTS} <= {".png"}


# Written with brackets so that this file does not hold what it looks for.
ANYWHERE = {
    r"(?<![\w.])[/](work|opt|tmp|farm|root|home/\w+)(?=[/\"'\s`)]|$)": "a path of one machine",
    r"\.\.[/]shared": "the shared folder",
    r"[p]ypi\.org|[p]ythonhosted|[a]naconda\.org|[n]pmjs|-{1,2}index-url": "a host of packages",
    r"(?i)seed [d]ocument": "a paper outside the project",
}
IN_PROSE = {
    r"(?i)\b[s]essions?\b": "a session",
    r"(?i)\b[a]gents?\b": "an agent",
    r"\b[A]I\b": "that word",
    r"\b[T]ODO\b|\b[F]IXME\b|Not[I]mplementedError": "unfinished work",
}
#: What a test of refusals may say on purpose, file and words.
ON_PURPOSE = {("tests/unit/test_panel_notebooks.py", "/" + "home/somebody")}


def prose(path: Path) -> str:
    """The words that are written for people: of Python the comments and docstrings, else everything."""
    if path.suffix != ".py":
        return text(path)
    source = text(path)
    words = [t.string for t in tokenize.generate_tokens(io.StringIO(source).readline) if t.type == tokenize.COMMENT]
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            words.append(ast.get_docstring(node) or "")
    return "\n".join(words)


def forbidden(words: str, patterns: dict[str, str], where: str = "") -> list[str]:
    return [
        f"{where}: {what} ('{found[0]}')"
        for pattern, what in patterns.items()
        for found in re.finditer(pattern, words, re.MULTILINE)
        if (where, found[0]) not in ON_PURPOSE
    ]


def test_no_word_or_path_that_does_not_belong():
    found = []
    for path in files():
        if path.suffix in TEXTS:
            found += forbidden(text(path), ANYWHERE, path.as_posix()) + forbidden(
                prose(path), IN_PROSE, path.as_posix()
            )
    assert found == []


@pytest.mark.parametrize(
    "words",
    [
        "see /" + "work/main/lib",
        "in /" + "tmp",
        'open("/' + 'home/me/x.toml")',
        "../" + "shared/JOB.md",
        "https://" + "py" + "pi.org/simple",
        "pip install --index" + "-url x",
        "the seed " + "document says",
    ],
)
def test_the_word_test_sees_paths_and_hosts(words):
    assert forbidden(words, ANYWHERE)


@pytest.mark.parametrize(
    "words", ["a " + "session did it", "written by an " + "Agent", "made with A" + "I", "TO" + "DO"]
)
def test_the_word_test_sees_words(words):
    assert forbidden(words, IN_PROSE)


@pytest.mark.parametrize("words", ["/usr/bin/env", "ft/min", "work/rest", "a reagent", "obsession", "AISI 1045"])
def test_the_word_test_lets_shop_words_through(words):
    assert forbidden(words, ANYWHERE | IN_PROSE) == []


LINK = re.compile(r"https?://[^\s\"'<>)\]]*")
#: Names of standards' vocabularies, which are never fetched, and this machine itself.
HARMLESS = re.compile(r"http://www\.w3\.org/(?:\d{4}/|1998/Math|TR/)|https?://(?:127\.0\.0\.1|localhost|\{)")


def test_nothing_points_outside():
    """A file of the project asks for nothing from a network; test data may name the hosts reserved for examples."""
    found = []
    for path in files():
        if path.suffix not in TEXTS:
            continue
        for link in LINK.findall(text(path)):
            # A host without a dot in its name is nobody's.
            example = path.parts[0] == "tests" and re.match(
                r"https?://(?:(?:[\w-]+\.)*example(?:\.\w+)?|\w+)(?:[/?#:]|$)", link
            )
            # A pattern that looks for links is no link.
            if (
                not HARMLESS.match(link)
                and not example
                and link not in ("http://", "https://")
                and path.name != "test_project.py"
            ):
                found.append(f"{path}: {link}")
    assert found == []


# Dependencies

PIN = re.compile(r"^([A-Za-z0-9][\w.-]*)==([\w.]+)$")


def pins(name: str) -> dict[str, str]:
    """Package and version of a requirements file, names normalised."""
    found = {}
    for line in text(Path(name)).splitlines():
        pinned = PIN.match(line.strip())
        if pinned:
            found[normal(pinned[1])] = pinned[2]
    return found


def normal(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


RUN, TEST = "requirements.txt", "tests/requirements.txt"


@pytest.mark.parametrize("name", [RUN, TEST])
def test_requirements_are_pinned_exactly(name):
    lines = [x.strip() for x in text(Path(name)).splitlines() if x.strip() and not x.startswith("#")]
    loose = [x for x in lines if not PIN.match(x) and not (name == RUN and x == "-e ./lib")]
    assert loose == []
    names = [normal(PIN.match(x)[1]) for x in lines if PIN.match(x)]
    assert len(names) == len(set(names)) and lines


def test_nothing_is_pinned_twice():
    assert pins(RUN).keys() & pins(TEST).keys() == set()


@pytest.mark.parametrize("package,version", sorted((pins(RUN) | pins(TEST)).items()))
def test_what_is_installed_is_what_is_pinned(package, version):
    """Stored outputs are compared, so another version would be another result."""
    assert metadata.version(package) == version


DISTRIBUTIONS = {module: {normal(d) for d in names} for module, names in metadata.packages_distributions().items()}


@cache
def imported(folder: str) -> dict[str, str]:
    """Third-party modules that the Python files below a folder import, each with a file that does."""
    mine = {p.stem for p in files() if p.parts[0] == "tests" and p.suffix == ".py"} | {"jackshaft"}
    found: dict[str, str] = {}
    for path in (p for p in files() if p.parts[0] == folder and p.suffix == ".py"):
        for node in ast.walk(ast.parse(text(path))):
            names = (
                [a.name for a in node.names]
                if isinstance(node, ast.Import)
                else [node.module]
                if isinstance(node, ast.ImportFrom) and node.level == 0
                else []
            )
            for module in (n.split(".")[0] for n in names):
                if module not in sys.stdlib_module_names and module not in mine:
                    found.setdefault(module, path.as_posix())
    return found


def uncovered(folder: str, allowed: set[str]) -> list[str]:
    return [
        f"{where} imports {module}"
        for module, where in sorted(imported(folder).items())
        if not DISTRIBUTIONS.get(module, set()) & allowed
    ]


def test_every_import_of_the_package_is_pinned():
    assert imported("lib").keys() >= {"numpy", "pint", "matplotlib"}
    assert uncovered("lib", set(pins(RUN))) == []


def test_every_import_of_the_tests_is_pinned():
    assert "pytest" in imported("tests")
    assert uncovered("tests", set(pins(RUN)) | set(pins(TEST))) == []


def test_the_package_names_what_it_imports():
    """Whoever installs lib/ alone gets all of it."""
    project = tomllib.loads(text(Path("lib/pyproject.toml")))["project"]
    assert uncovered("lib", {normal(re.split(r"[^\w.-]", d)[0]) for d in project["dependencies"]}) == []


def test_an_import_that_is_not_covered_is_seen():
    assert uncovered("lib", set(pins(RUN)) - {"numpy"}) != []


# Guides


def readme_command() -> str:
    found = re.search(
        r"^<!-- test command -->\n```\n(.+)\n```\n<!-- end of test command -->$", text(Path("README.md")), re.MULTILINE
    )
    return found[1] if found else ""


def test_ci_runs_the_command_of_the_readme():
    shown = subprocess.run([ROOT / ".ci" / "run", "--show"], capture_output=True, text=True, check=True).stdout
    command = readme_command()
    assert shown == command + "\n"
    assert (
        command.startswith("python3 -m venv .venv && ")
        and "/python -m pytest -n 3 --dist loadfile" in command
        and command.count("&&") == 2
    )
    assert f"-r {RUN} -r {TEST}" in command


def test_the_files_of_tests_that_start_first_are_there():
    first = re.findall(r'^    "(\w+/test_\w+\.py)",', text(Path("tests/conftest.py")), re.MULTILINE)
    assert len(first) > 10 and [name for name in first if not (ROOT / "tests" / name).is_file()] == []


def test_ci_can_be_run():
    assert (ROOT / ".ci" / "run").stat().st_mode & stat.S_IXUSR


def test_readme_opens_with_the_job_then_pictures_then_commands():
    words = text(Path("README.md"))
    first = words.split("\n\n")[1]
    assert not first.startswith(("#", "!", "```")) and len(first.split()) > 30
    order = [
        words.index(w)
        for w in (
            first,
            "![",
            "/python -m jackshaft lab\n```",
            "<!-- test command -->",
            "## The notebooks",
            "## Cautions",
            "## Where the numbers come from",
            "## Licence",
        )
    ]
    assert order == sorted(order)
    assert all(len(alt) > 20 for alt in re.findall(r"!\[(.*?)\]\(", words)) and words.count("![") == 2
    needs = tomllib.loads(text(Path("lib/pyproject.toml")))["project"]["requires-python"].removeprefix(">=")
    assert f"Python {needs} or later" in words


def test_readme_ladder_is_the_notebooks_in_order():
    listed = re.findall(r"^- \[(\w+)\]\((notebooks/\w+\.ipynb)\): .{20,}\.$", text(Path("README.md")), re.MULTILINE)
    assert [path for _, path in listed] == [p.as_posix() for p in notebooks()]
    assert all(Path(path).stem == name for name, path in listed)


def test_developers_guide_gives_each_room_its_tier():
    rows = re.findall(r"^\| (\d+) \| ([^|]+) \|", text(Path("DEVELOPERS.md")), re.MULTILINE)
    said = {room.removesuffix("/"): int(tier) for tier, rooms in rows for room in re.findall(r"`([\w/]+)`", rooms)}
    assert said == TIERS


def test_guides_name_every_command():
    from jackshaft.cli import COMMANDS

    words = text(Path("README.md"))
    assert [c for c in COMMANDS if f"`python -m jackshaft {c}" not in words] == []


def test_the_linter_finds_nothing():
    """The rules stand in lib/pyproject.toml: line length, import order, unused names, likely faults."""
    call = [sys.executable, "-m", "ruff", "check", "--no-cache", "--config", "lib/pyproject.toml", "lib", "tests"]
    run = subprocess.run(call, cwd=ROOT, capture_output=True, text=True)
    assert run.returncode == 0, run.stdout + run.stderr


def test_the_channel_to_the_kernel_is_encrypted_where_the_workbook_is_installed():
    """The server of this environment reads the configuration that lies in lib/etc."""
    there = Path(sys.prefix) / "etc" / "jupyter" / "jupyter_server_config.json"
    if not there.is_file():
        pytest.skip("the package is not installed in this environment")
    assert there.read_bytes() == (ROOT / "lib" / "etc" / "jupyter_server_config.json").read_bytes()
    assert '"transport_encryption": "auto"' in there.read_text(encoding="utf-8")
