"""What keeps a reader with a screen reader, a keyboard or weak eyes out, found by axe-core."""

from __future__ import annotations

#: Levels A and AA of the Web Content Accessibility Guidelines, as far as a program can check them.
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]


def barriers(page, within: str = "html") -> list[str]:
    """Return what axe-core finds, a line a node; what surrounds our own nodes is not looked at.

    Parameters
    ----------
    page : playwright page
        The page.
    within : str, optional
        Selector of the nodes to look at; there must be one.
    """
    from axe_playwright_python.sync_playwright import Axe

    options = {"runOnly": {"type": "tag", "values": RULES}, "resultTypes": ["violations"]}
    answer = Axe().run(page, {"include": [[within]]}, options).response
    assert answer["passes"], "nothing was looked at"
    return [
        f"{rule['id']}: {node['html'][:160]} | {node['failureSummary'][:240]}"
        for rule in answer["violations"]
        for node in rule["nodes"]
    ]
