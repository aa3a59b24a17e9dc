"""Key press to changed picture in a real browser: our panel beside a plain redraw through an output.

Run it from the top: ``python tests/benchmarks/bench_panel.py [presses] [notebook ...]``; without names
every page with a panel is measured beside the two toys. Times run from the key press to the first frame after
the change stands in the page. It ends with 1 where a panel misses its aims.
"""

from __future__ import annotations

import random
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "browser"))

import nbformat  # noqa: E402
from lab_page import LabPage  # noqa: E402
from lab_server import BROWSER_FLAGS, LabServer, Unavailable, find_browser  # noqa: E402

PICTURE_MEDIAN, PICTURE_P95, NUMBERS_MEDIAN = 60.0, 100.0, 35.0

ROOT = HERE.parents[1]
#: Every page with a panel.
NOTEBOOKS = tuple(
    p.name for p in sorted((ROOT / "notebooks").glob("*.ipynb")) if "bench.panel(" in p.read_text(encoding="utf-8")
)

PANEL = ["import panel_toy\nbuild = panel_toy.load('toy.json')\npanel = panel_toy.toy_panel(build)", "panel"]
PLAIN = [
    "import panel_toy, ipywidgets, matplotlib.pyplot as plt\n"
    "from IPython.display import display\n"
    "slider = ipywidgets.FloatSlider(min=10, max=40, step=0.25, value=20)\n"
    "words, out = ipywidgets.HTML(), ipywidgets.Output()\n"
    "words.add_class('bench-words'); out.add_class('bench-out'); slider.add_class('bench-slider')\n"
    "def redraw(change=None):\n"
    "    x, y = panel_toy.loop_points(10, 5, slider.value)\n"
    "    words.value = f'{slider.value:.2f} in'\n"
    "    with out:\n"
    "        out.clear_output(wait=True)\n"
    "        figure, axes = plt.subplots(figsize=(7.2, 4.4))\n"
    "        axes.plot(x, y, linewidth=2.6); axes.set(xlim=(-10, 45), ylim=(-20, 20)); axes.set_aspect('equal')\n"
    "        for at, d in ((0, 10), (slider.value, 5)):\n"
    "            axes.text(at, 0, f'{d:.3f} in', ha='center')\n"
    "        display(figure); plt.close(figure)\n"
    "slider.observe(redraw, 'value'); redraw()",
    "ipywidgets.VBox([slider, words, out])",
]

PLAIN_PLACES = (".bench-slider .noUi-handle", ".bench-out", ".bench-words .widget-html-content")
PANEL_PLACES = (
    ".jk-panel .jk-control .noUi-handle",
    ".jk-picture-box .widget-html-content",
    ".jk-facts-box .widget-html-content",
)

WATCH = """([handle, picture, numbers]) => {
  const bench = window.__bench = {key: 0, picture: 0, numbers: 0, frames: 0};
  const stamp = what => requestAnimationFrame(() => {
    bench[what + 'Count'] = (bench[what + 'Count'] || 0) + 1;
    if (!bench[what]) bench[what] = performance.now();
  });
  const watch = (selector, what) => {
    const place = document.querySelector(selector);
    new MutationObserver(changes => {
      const images = place.querySelectorAll('img');
      if (images.length) { for (const image of images) image.decode().then(() => stamp(what), () => {}); }
      else if (place.childNodes.length) stamp(what);
    }).observe(place, {childList: true, subtree: true, characterData: true, attributes: true,
                       attributeFilter: ['src']});
  };
  watch(picture, 'picture'); watch(numbers, 'numbers');
  document.querySelector(handle).addEventListener('keydown',
    () => { bench.key = performance.now(); bench.picture = 0; bench.numbers = 0; }, true);
}"""


def measure(lab: LabPage, handle: str, picture: str, numbers: str, presses: int) -> dict[str, list[float]]:
    """Press a key often, each time when the last picture stands, and return the times in milliseconds."""
    page = lab.page
    page.evaluate(WATCH, [handle, picture, numbers])
    page.locator(handle).first.focus()
    times: dict[str, list[float]] = {"picture": [], "numbers": []}
    chance = random.Random(4)
    for number in range(presses + 5):
        page.keyboard.press("ArrowRight" if number % 20 < 10 else "ArrowLeft")
        page.wait_for_function("() => window.__bench.picture && window.__bench.numbers", timeout=5000)
        got = page.evaluate("() => window.__bench")
        if number >= 5:  # the first few warm up caches on both sides
            for what in times:
                times[what].append(got[what] - got["key"])
        page.wait_for_timeout(chance.uniform(40, 250))
    return times


def drag(lab: LabPage, handle: str, seconds: float = 2.0) -> tuple[float, float]:
    """Move fast; return pictures a second, and milliseconds from the last key to the last picture."""
    page = lab.page
    page.locator(handle).first.focus()
    page.keyboard.press("Home")
    page.wait_for_timeout(800)
    page.evaluate("() => { window.__bench.pictureCount = 0; window.__last = 0; }")
    began = time.monotonic()
    while time.monotonic() - began < seconds:
        page.keyboard.press("ArrowRight")
        page.wait_for_timeout(12)
    took = time.monotonic() - began
    shown = page.evaluate("() => window.__bench.pictureCount")
    key = page.evaluate("() => window.__bench.key")
    quiet, count, last = time.monotonic(), -1, key
    while time.monotonic() - quiet < 0.5:
        now = page.evaluate("() => [window.__bench.pictureCount, performance.now()]")
        if now[0] != count:
            count, last, quiet = now[0], now[1], time.monotonic()
        page.wait_for_timeout(5)
    return shown / took, last - key


def measured(lab: LabPage, places: tuple[str, str, str], presses: int):
    """Return the times of a page's first slider that is seen, and of dragging it."""
    handle = lab.page.locator(f"{places[0]}:visible").first
    handle.wait_for()
    handle.scroll_into_view_if_needed()
    lab.page.wait_for_timeout(1500)
    handle.evaluate("part => part.classList.add('bench-handle')")
    times = measure(lab, ".bench-handle", *places[1:], presses)
    return times, drag(lab, ".bench-handle")


def p95(times: list[float]) -> float:
    """Return the value that 95 of 100 stay under."""
    return sorted(times)[int(0.95 * (len(times) - 1) + 0.5)]


def book(root: Path, name: str, sources: list[str]) -> None:
    """Write a notebook of code cells."""
    made = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(s) for s in sources])
    made.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3"}
    nbformat.write(made, root / name)


def main(presses: int, notebooks: tuple[str, ...]) -> int:
    """Measure the plain mechanism and the panels, and print them side by side."""
    from playwright.sync_api import TimeoutError, sync_playwright

    try:
        path = find_browser()
    except Unavailable as reason:
        print(reason)
        return 2
    rows: list[tuple[str, dict[str, list[float]], tuple[float, float]]] = []
    still: list[str] = []
    with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryDirectory() as state:
        root = Path(folder) / "notebooks"
        ignore = shutil.ignore_patterns(".ipynb_checkpoints", "*.previous", ".open")
        shutil.copytree(ROOT / "notebooks", root, ignore=ignore)
        shutil.copytree(ROOT / "data", Path(folder) / "data", ignore=ignore)
        shutil.copy(HERE.parent / "unit" / "panel_toy.py", root)
        book(root, "toy-panel.ipynb", PANEL)
        book(root, "toy-plain.ipynb", PLAIN)
        runs = [
            ("redraw through an output (toy)", "toy-plain.ipynb", PLAIN_PLACES),
            ("panel (toy)", "toy-panel.ipynb", (".jk-c-drive-apart .noUi-handle", *PANEL_PLACES[1:])),
        ]
        runs += [(f"panel ({name})", name, PANEL_PLACES) for name in notebooks if (root / name).exists()]
        with LabServer(root, Path(state), data=Path(folder) / "data") as server, sync_playwright() as play:
            browser = play.chromium.launch(executable_path=path, args=list(BROWSER_FLAGS))
            for words, name, places in runs:
                lab = LabPage(browser.new_context(viewport={"width": 1280, "height": 1200}).new_page(), server)
                lab.open(name)
                lab.run_all()
                try:
                    rows.append((words, *measured(lab, places, presses)))
                except TimeoutError:
                    still.append(words)
                lab.page.context.close()
            browser.close()
    print(f"{presses} key presses each; milliseconds from the key to the frame that shows the change")
    print(
        f"{'mechanism':<34}{'picture median':>15}{'p95':>8}{'numbers median':>16}{'p95':>8}"
        f"{'pictures/s':>12}{'settles':>9}"
    )
    for words in still:
        print(f"{words:<34}{'its first slider moves nothing that is watched':>48}")
    good = True
    for words, times, (rate, settle) in rows:
        picture, numbers = statistics.median(times["picture"]), statistics.median(times["numbers"])
        print(
            f"{words:<34}{picture:>15.0f}{p95(times['picture']):>8.0f}{numbers:>16.0f}{p95(times['numbers']):>8.0f}"
            f"{rate:>12.1f}{settle:>9.0f}"
        )
        if words.startswith("panel"):
            good &= picture < PICTURE_MEDIAN and p95(times["picture"]) < PICTURE_P95 and numbers < NUMBERS_MEDIAN
    print(
        f"aims for a panel (picture median under {PICTURE_MEDIAN:g} and p95 under {PICTURE_P95:g}, "
        f"numbers median under {NUMBERS_MEDIAN:g}): " + ("met" if good else "missed")
    )
    return 0 if good else 1


if __name__ == "__main__":
    given = sys.argv[1:]
    sys.exit(main(int(given[0]) if given else 60, tuple(given[1:]) or NOTEBOOKS))
