"""Pages that refer to nothing outside themselves: by their policy, and looked at element by element."""

from __future__ import annotations

import re
from html.parser import HTMLParser

from jackshaft.record.ride import SCHEME

#: Keeps a browser from fetching or running anything, whatever stands in the page.
POLICY = (
    '<meta http-equiv="Content-Security-Policy" '
    "content=\"default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">"
)

#: Elements that fetch or run something by themselves.
_NEVER = ("script", "link", "iframe", "frame", "object", "embed", "base", "audio", "video", "source", "track", "portal")
#: Attributes that name something to fetch or to go to.
_PLACES = ("src", "href", "srcset", "data", "action", "formaction", "poster", "background", "ping", "xlink:href")
_IN_STYLE = re.compile(r"@import|url\(\s*[\"']?(?!data:|#)", re.IGNORECASE)


class OutsideReference(ValueError):
    """A page that refers to something outside itself was about to be written."""


class _Looker(HTMLParser):
    def __init__(self):
        super().__init__()
        self.found: list[str] = []
        self._style = False

    def handle_starttag(self, tag, attrs):
        self._style = tag == "style"
        if tag in _NEVER:
            self.found.append(f"<{tag}>")
        for name, value in attrs:
            value = (value or "").strip()
            ours = tag == "a" and name == "href" and value.startswith(SCHEME)
            if name in _PLACES and value and not ours and not value.lower().startswith(("data:image/", "#")):
                self.found.append(f'<{tag} {name}="{value[:60]}">')
            elif name.startswith("on") or (name == "style" and _IN_STYLE.search(value)):
                self.found.append(f'<{tag} {name}="{value[:60]}">')
            elif tag == "meta" and name == "http-equiv" and value.lower() == "refresh":
                self.found.append("<meta refresh>")

    def handle_endtag(self, tag):
        if tag == "style":
            self._style = False

    def handle_data(self, data):
        if self._style and _IN_STYLE.search(data):
            self.found.append(f"<style> with {_IN_STYLE.search(data)[0]}")


def outside_references(html: str) -> list[str]:
    """Return what in a page would be fetched, run or gone to; the text between the elements may say anything."""
    looker = _Looker()
    looker.feed(html)
    looker.close()
    return looker.found


def refuse_outside(html: str) -> None:
    """Raise OutsideReference if an element of the page would fetch or run anything."""
    found = outside_references(html)
    if found:
        raise OutsideReference(f"the page refers to something outside itself: {found[0]}")
