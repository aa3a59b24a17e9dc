"""Fixtures for tests in a real JupyterLab. Without a browser they are skipped; in CI that is a failure."""

from __future__ import annotations

import importlib.util
import os
import shutil
from pathlib import Path

import pytest
from lab_page import SIZE, LabPage
from lab_server import BROWSER_FLAGS, LabServer, Unavailable, find_browser

ROOT = Path(__file__).resolve().parents[2]


def unavailable(words: str):
    """Skip with the reason, or fail where a skip would hide that nothing was tested."""
    if os.environ.get("CI"):
        pytest.fail(f"browser tests must run in CI, but {words}")
    pytest.skip(words)


@pytest.fixture(scope="session")
def browser_path():
    """The installed browser that the tests drive."""
    if importlib.util.find_spec("playwright") is None:
        unavailable("the playwright package is not installed")
    try:
        return find_browser()
    except Unavailable as reason:
        unavailable(str(reason))


@pytest.fixture(scope="module")
def browser(browser_path):
    """A headless browser for one file of tests.

    Not for the whole run: while it is open, an event loop counts as running in this thread, and tests of
    other rooms that start one of their own would fail.
    """
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=browser_path, args=list(BROWSER_FLAGS))
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def lab_on(tmp_path_factory, browser_path):
    """Start a JupyterLab on a folder: ``lab_on(root, data=None) -> LabServer``; ended after the run."""
    running: list[LabServer] = []

    def start(root: Path, *, data: Path | None = None) -> LabServer:
        server = LabServer(root, tmp_path_factory.mktemp("lab"), data=data)
        running.append(server.__enter__())
        return server

    yield start
    for server in running:
        server.__exit__()


@pytest.fixture(scope="session")
def project_lab(lab_on, tmp_path_factory):
    """A JupyterLab on a copy of the project's notebooks and data."""
    home = tmp_path_factory.mktemp("copy")
    ignore = shutil.ignore_patterns(".ipynb_checkpoints", "*.previous")
    shutil.copytree(ROOT / "notebooks", home / "notebooks", ignore=ignore)
    shutil.copytree(ROOT / "data", home / "data", ignore=ignore)
    return lab_on(home / "notebooks", data=home / "data")


@pytest.fixture(scope="module")
def open_page(browser):
    """Open a page on a server: ``open_page(server) -> LabPage``; checks what it asked for and barriers to readers."""
    opened = []

    def start(server: LabServer) -> LabPage:
        context = browser.new_context(viewport=SIZE)
        lab_page = LabPage(context.new_page(), server)
        opened.append((context, lab_page))
        return lab_page

    yield start
    for context, _ in opened:
        context.close()
    outside = set().union(*(page.outside_hosts() for _, page in opened))
    assert outside == set(), f"asked for things outside this machine: {sorted(outside)}"
    found = {notebook: what for _, page in opened for notebook, what in page.barriers.items() if what}
    assert found == {}, f"keeps readers out: {found}"


@pytest.fixture(scope="module")
def page_of_module(project_lab, open_page):
    """One page for one file of tests: what is open in it stays open, and ``page.show`` runs its cells anew."""
    return open_page(project_lab)


@pytest.fixture
def lab_page(page_of_module):
    """A page on the copy of the project, its builds as they are committed; ``page.builds`` is their folder."""
    page = page_of_module
    page.builds = page.server.root.parent / "data" / "builds"
    shutil.rmtree(page.builds)
    shutil.copytree(ROOT / "data" / "builds", page.builds, ignore=shutil.ignore_patterns("*.previous", ".open"))
    page.page.set_viewport_size(SIZE)
    return page
