"""The panels that are open on a page, so that each shows what another one kept."""

from __future__ import annotations

import weakref
from typing import Protocol

from jackshaft.buildfile import Build


class Follows(Protocol):
    """What stands on a build and can stand on a newer one."""

    title: str

    @property
    def build(self) -> Build:
        """The build as it is kept now."""

    def follow(self, build: Build) -> None:
        """Stand on what was kept elsewhere on the page.

        Parameters
        ----------
        build : Build
            The build as it is kept now.
        """


_open: weakref.WeakSet[Follows] = weakref.WeakSet()


def opened(panel: Follows) -> None:
    """Note that a panel is open.

    Parameters
    ----------
    panel : Follows
        The panel.
    """
    _open.add(panel)


def take_over(panel: Follows) -> None:
    """Let an older panel of the same title and build go: its cell was run again, and nobody sees it.

    Parameters
    ----------
    panel : Follows
        The one that takes its place.
    """
    for other in list(_open):
        if other is not panel and other.title == panel.title and _same_build(other.build, panel.build):
            _open.discard(other)
    _open.add(panel)


def follow(build: Build, but: Follows | None = None) -> None:
    """Let every open panel of a build stand on what was kept of it elsewhere on the page.

    Parameters
    ----------
    build : Build
        The build as it is kept now.
    but : Follows, optional
        The panel that kept it.
    """
    for other in list(_open):
        if other is not but and _same_build(other.build, build):
            other.follow(build)


def _same_build(a: Build, b: Build) -> bool:
    path_a, path_b = getattr(a, "path", None), getattr(b, "path", None)
    return path_a == path_b if path_a or path_b else a.name == b.name


__all__ = ["follow", "opened", "take_over"]
