"""A live panel as a reader sees it: found by labels, read by its words."""

from __future__ import annotations

import contextlib
import time


class PanelOnPage:
    """A panel as a reader sees it.

    Parameters
    ----------
    page : playwright page
        The page.
    root : locator
        The panel.
    """

    def __init__(self, page, root):
        self.page, self.root = page, root

    def field(self, label: str):
        """Return the field (text or list) with a label; its unit may be left out.

        Parameters
        ----------
        label : str
            The label.
        """
        return self.control(label).locator("input[type=text], select").first

    def control(self, label: str):
        """Return the whole control with a label: field, slider, echo.

        Parameters
        ----------
        label : str
            The label, with or without its unit.
        """
        self.unfold()
        escaped = label.replace("\\", "\\\\").replace('"', '\\"')
        exact = self.root.locator(f'.jk-control:has(label:text-is("{escaped}"))')
        if exact.count():
            return exact.first
        return self.root.locator(f'.jk-control:has(label:has-text("{escaped} ("))').first

    def slider(self, label: str):
        """Return the handle of the slider beside a field.

        Parameters
        ----------
        label : str
            The control's label.
        """
        return self.control(label).locator(".noUi-handle")

    def unfold(self) -> None:
        """Open every group of fields that is folded away."""
        for fold in self.root.locator(".jk-fold-button").all():
            if "▸" in fold.inner_text():
                fold.click()
                fold.filter(has_text="▾").wait_for()

    def labels(self) -> list[str]:
        """Return the labels of every control."""
        self.unfold()
        return self.root.locator(".jk-control .jk-box label").all_inner_texts()

    def has_slider(self, label: str) -> bool:
        """Tell whether a control has a slider.

        Parameters
        ----------
        label : str
            The control's label.
        """
        return self.slider(label).count() > 0

    def type(self, label: str, text: str, *, leave: str = "Enter") -> None:
        """Type a text into a field, as a reader does, and leave it by a key.

        Parameters
        ----------
        label : str
            The control's label.
        text : str
            What to type.
        leave : str, optional
            Enter or Tab.
        """
        field = self.field(label)
        field.fill(text)
        field.press(leave)

    def pick(self, label: str, words: str) -> None:
        """Pick an entry of a list.

        Parameters
        ----------
        label : str
            The control's label.
        words : str
            The entry's words.
        """
        self.field(label).select_option(label=words)

    def press(self, label: str, key: str, times: int = 1) -> None:
        """Press a key on a slider.

        Parameters
        ----------
        label : str
            The control's label.
        key : str
            Such as ArrowRight.
        times : int, optional
            How often.
        """
        handle = self.slider(label)
        handle.focus()
        for _ in range(times):
            handle.press(key)

    def echo(self, label: str) -> str:
        """Return the words beneath a field.

        Parameters
        ----------
        label : str
            The control's label.
        """
        return self.control(label).locator(".jk-echo").inner_text()

    def value(self, label: str) -> str:
        """Return what stands in a field."""
        return self.field(label).input_value()

    def sticks_out(self) -> float:
        """Return by how many pixels the panel is beyond an edge of the window; 0 or less where it is all inside.

        A pixel on the right is rounding.
        """
        box, window = self.root.bounding_box(), self.page.viewport_size
        return max(-box["x"], box["x"] + box["width"] - window["width"] - 1)

    def facts(self) -> dict[str, str]:
        """Return the live facts: label to value."""
        rows = self.root.locator("table.jk-facts tr").all()
        return {r.locator("th").inner_text(): r.locator("td").inner_text() for r in rows}

    def results(self) -> str:
        """Return the words of checks, facts and comparison, what is folded away too."""
        for fold in self.root.locator(".jk-checks-box details:not([open])").all():
            fold.evaluate("node => { node.open = true }")
        return "\n".join(self.root.locator(".jk-facts-box, .jk-checks-box").all_inner_texts())

    def strip(self) -> str:
        """Return the words of the verdict strip."""
        return self.root.locator(".jk-strip-box").inner_text()

    def picture(self) -> str:
        """Return what the picture says it shows."""
        return self.root.locator(".jk-picture").get_attribute("aria-label") or ""

    def alert(self) -> str:
        """Return the words of the error box; empty when there is none."""
        # read at once: an alert that is counted first may be gone when it is read
        return next(iter(self.root.locator("[role=alert]").all_inner_texts()), "")

    def notice(self) -> str:
        """Return the message of what was done last; empty when there is none."""
        found = self.root.locator(".jk-notice")
        return found.first.inner_text() if found.count() else ""

    def stored_text(self) -> str:
        """Return the words of the outputs that are stored beside the panel; they are hidden while it is live."""
        return self.root.evaluate("""root => {
          const mine = root.closest('.jp-OutputArea-child');
          return [...mine.parentElement.children].filter(c => c !== mine).map(c => c.textContent).join('\\n');
        }""")

    def click(self, words: str) -> None:
        """Press a button by its words.

        Parameters
        ----------
        words : str
            The words on it.
        """
        self.root.get_by_role("button", name=words, exact=True).click()

    def reset(self) -> None:
        """Bring the build's own values back, and wait as a hand would: the picture may be there before every field."""
        self.click("Reset to the build")
        self.wait_settled(300)

    def keep(self) -> None:
        """Press the button that keeps the values in the build."""
        self.root.locator("button.jk-keep").click()

    @contextlib.contextmanager
    def pressed_low(self, selector: str):
        """Hold a button down near its lower edge by the mouse; yields what tells how far it has moved down since.

        Parameters
        ----------
        selector : str
            Of the button.
        """
        button = self.root.locator(selector)
        button.scroll_into_view_if_needed()
        box = button.bounding_box()
        self.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] - 5)
        self.page.mouse.down()
        yield lambda: button.bounding_box()["y"] - box["y"]
        self.page.mouse.up()

    def pin(self) -> None:
        """Press the button that pins a candidate, and wait until it is pinned: each widget has a line of its own to
        the kernel, and on a busy machine what is typed next may get there first."""
        rows = self.root.locator(".jk-pin-row")
        before = rows.count()
        self.root.locator("button.jk-pin").click()
        self.wait_until(lambda: rows.count() == before + 1, "the pinned candidate")

    def wait_until(self, holds, what: str, seconds: float = 60.0) -> None:
        """Wait until something holds.

        Parameters
        ----------
        holds : callable
            Returns true when it does.
        what : str
            What is waited for, for the message.
        seconds : float, optional
            How long.
        """
        deadline = time.monotonic() + seconds
        while not holds():
            if time.monotonic() > deadline:
                says = [words for words in (self.alert(), self.notice()) if words]
                raise AssertionError(f"waited {seconds:g} s in vain: {what}; the panel says {says}")
            self.page.wait_for_timeout(40)

    def wait_changed(self, read, before, what: str) -> object:
        """Wait until a reading differs from what it was, and return it.

        Parameters
        ----------
        read : callable
            Returns the reading.
        before : object
            What it was.
        what : str
            What is waited for, for the message.
        """
        self.wait_until(lambda: read() != before, f"{what} to change from {before!r}")
        return read()

    def wait_settled(self, quiet_ms: int = 900) -> None:
        """Wait until nothing in the panel changes any more, the stored outputs included."""
        last, since = None, time.monotonic()
        while (time.monotonic() - since) * 1000 < quiet_ms:
            now = (self.picture(), self.results())
            if now != last:
                last, since = now, time.monotonic()
            self.page.wait_for_timeout(60)
