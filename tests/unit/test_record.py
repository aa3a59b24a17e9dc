"""The build record: complete, self-contained, honest, and it follows the build file."""

import re
from html.parser import HTMLParser
from math import hypot
from pathlib import Path

import nbformat
import pytest
from jackshaft.buildfile import DEMO, list_builds, load
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.cli import main
from jackshaft.notebooks import find_notebooks
from jackshaft.record import OutsideReference, paper, refuse_outside, write_record
from jackshaft.record import page as page_with
from jackshaft.record.glance import glance
from jackshaft.record.lined_up import on_their_points
from jackshaft.record.notebook_page import page_of
from jackshaft.record.opening import governing, overall, todo, undecided
from jackshaft.record.outside import outside_references
from jackshaft.record.ride import SCHEME
from jackshaft.results import Number, work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED, Check
from jackshaft.results.cure import Cure
from jackshaft.results.values import TAPE

CHIPPER = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"
BUILDS = [*list_builds(), CHIPPER]


class Page(HTMLParser):
    def __init__(self, html):
        super().__init__()
        self.images, self.words, self.tags, self.hidden, self.drawn = [], [], [], False, False
        self.feed(html)
        self.text = " ".join(" ".join(self.words).split())

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.hidden = tag in ("style", "title")
        self.drawn = self.drawn or tag == "svg"
        if dict(attrs).get("role") == "img":
            self.images.append(dict(attrs))

    def handle_endtag(self, tag):
        self.hidden = False
        self.drawn = self.drawn and tag != "svg"

    def handle_data(self, data):
        if not self.hidden and not self.drawn:
            self.words.append(data)


@pytest.fixture(scope="module")
def pages(record_of):
    return {str(b): record_of(b) for b in BUILDS}


@pytest.mark.parametrize("build", BUILDS, ids=str)
def test_opens_with_title_fingerprint_verdict_and_warning(pages, build):
    text, made = Page(pages[str(build)]).text, load(build)
    head, _, below = text.partition(" Verdicts ")
    assert head.startswith(made.name) and f"build {fingerprint(made)}" in head
    assert "no certificate" in head and "licensed" in head and "Local codes" in head
    assert head.index(overall(work_up(made))) < head.index("no certificate")
    for words in work_up(made).chapters["guards"].cautions:
        assert below.count(words) == 1


def test_no_minus_stands_before_a_fraction():
    assert Number(-0.0762, "length", "inch", form=TAPE).shown == "-3.00 in"  # 3 in of 25.4 mm


def test_every_chapter_stands_in_the_first_table_and_leads_to_what_needs_doing(pages):
    page, results = pages[DEMO], work_up(load(DEMO))
    table = page.partition('<section id="verdicts">')[2].partition("</section>")[0]
    for name, title in ((n, c.title) for n, c in results.chapters.items()):
        assert f'<a href="#{name}">{title}</a>' in table
    do = page.partition('<section id="stops">')[2].partition("</section>")[0]
    assert do.count("<li id=") == sum(c.verdict in (STOP, CAUTION) for c in results.checks) + len(undecided(results))
    assert {n for n in re.findall('href="#([^"]+)"', page)} <= set(re.findall(' id="([^"]+)"', page))
    for check in results.checks:
        assert check.verdict != UNDECIDED or check.name in do


@pytest.mark.parametrize("build", BUILDS, ids=str)
def test_refers_to_nothing_outside_itself(pages, build):
    page = Page(pages[str(build)])
    for tag, attrs in page.tags:
        assert tag not in ("script", "link", "iframe", "object", "embed")
        for name in ("src", "href"):
            value = attrs.get(name) or "#"
            ours = tag == "a" and value.startswith(SCHEME)
            assert ours or value.startswith(("#", "data:image/png;base64,")), (tag, value[:60])
    assert outside_references(pages[str(build)]) == []
    assert "default-src 'none'" in pages[str(build)]


@pytest.mark.parametrize("build", BUILDS, ids=str)
def test_every_picture_is_whole_and_described(pages, build):
    for image in Page(pages[str(build)]).images:
        assert len(image["aria-label"]) > 20
    drawn = re.findall(r"<svg class=\"jk-svg-.*?</svg>", pages[str(build)], re.DOTALL)
    assert len(drawn) >= len(re.findall('class="drawing"', pages[str(build)]))
    # what a picture refers to is in itself, and in no other: one that is hidden may not lend it
    asked = [set(re.findall(r'(?:url\(|href=")#(\w+)', svg)) for svg in drawn]
    assert all(ids <= set(re.findall(r'\bid="([^"]+)"', svg)) for ids, svg in zip(asked, drawn, strict=True))
    assert sum(map(len, asked)) == len(set().union(*asked))


@pytest.mark.parametrize("build", BUILDS, ids=str)
def test_every_check_and_value_stands_in_it(pages, build):
    page, results = Page(pages[str(build)]), work_up(load(build))
    for check in results.checks:
        assert f"[{check.id}]" in page.text
    for key, value in results.build.values.items():
        text = getattr(value, "text", None)
        if text is not None:
            assert " ".join(text.split()) in page.text, key


def test_demo_shows_its_numbers(pages):
    """Speed, path, wrap and belt speed come from an independent calculation of the feed-wagon auger."""
    text = Page(pages[DEMO]).text
    for words in ("418 rpm", "62.09 in", "175.8°", "3652 ft/min"):
        assert words in text


def test_what_one_builds_from_stands_at_its_head(pages):
    """Sizes as the build has them; centres by Pythagoras from the places of E and J; a 6208 is 40 × 80 × 18 mm."""
    rows, build = dict(glance(work_up(load(DEMO)))), load(DEMO)
    assert rows["crank belts: pulleys"] == "E 4.400 in datum; I 5.000 in outside; J 10.600 in datum"
    at = [[build.get(f"stage[crank belts].pulley[{p}].{axis}").si for axis in "xy"] for p in "EJ"]
    apart = hypot(at[1][0] - at[0][0], at[1][1] - at[0][1]) / 0.0254
    assert f"E to J 18-7/16 in ({apart:.2f} in)" in rows["crank belts: centres, with the belt on"]
    assert "(40 × 80 × 18 mm)" in rows["bearing chain side"] and "6208" in rows["bearing chain side"]
    assert rows["fuse"] == f"{build.get('circuit.fuse').si:g} A blade" and "14 AWG" in rows["clutch wire"]
    assert "72.0 lbf·ft" in rows["clutch"] and build.get("clutch.static_torque").text.startswith("72")
    text = Page(pages[DEMO]).text.partition("What needs doing")[0]
    assert all(words in text for words in rows.values())


@pytest.mark.parametrize(
    ("kind", "key", "of"),
    [
        ("sprung idler", "slack_tension", "in the idler's strand, all belts together"),
        ("fixed idler", "static_tension", "in each strand of each belt"),
    ],
)
def test_a_tension_says_what_it_is_of(kind, key, of):
    """The form has them so: what the idler holds in its strand, all belts together; each strand of each belt."""
    at = "stage[crank belts].takeup"
    both = {f"{at}.kind": kind, f"{at}.slack_tension": "", f"{at}.static_tension": "", f"{at}.{key}": "50 lbf"}
    assert dict(glance(work_up(load(DEMO).with_values(both))))["crank belts"].endswith(f", held at 50.0 lbf {of}")


def test_a_fuse_that_is_not_written_down_is_not_said_to_be_none():
    build = load(DEMO).with_values({"circuit.fuse": ""})
    assert dict(glance(work_up(build)))["fuse"] == "not known yet"
    assert dict(glance(work_up(load(DEMO).with_values({"circuit.fuse": "none"}))))["fuse"] == "none"


def test_centres_of_a_belt_that_does_not_fit_are_not_called_those_with_it_on(pages):
    rows = dict(glance(work_up(load(CHIPPER))))
    assert "wheel belts: centres, as drawn, where this belt does not fit" in rows


def test_a_cure_stands_in_full_once_among_what_needs_doing(pages):
    todo = Page(pages[str(CHIPPER)]).text.partition("What needs doing")[2].partition("Measure next")[0]
    assert "As above for weakest part at the working load." in todo


def test_a_design_with_a_stop_is_not_recorded_as_if_it_worked(pages):
    page = Page(pages[str(CHIPPER)])
    assert "This build does not work as it is" in page.text
    layouts = [i for i in page.images if "wheel belts" in i["aria-label"]]
    assert layouts and all("does not work" in i["aria-label"] for i in layouts)
    assert "does not work as it is" not in Page(pages[DEMO]).text or work_up(load(DEMO)).stops


def test_metric_record_has_no_inch(pages):
    text = Page(pages["compost_trommel"]).text
    assert not re.search(r"\d ?(in|ft|lbf|hp|AWG)(?![\w·/])", text.split("Sources")[0])


def test_what_is_not_known_is_said(pages):
    text = Page(pages["rotor_bearings"]).text
    assert "Not known yet" in text


def test_one_value_in_the_file_changes_the_record(tmp_path):
    text = load(DEMO).text
    path = tmp_path / f"{DEMO}.toml"
    path.write_text(text.replace('work_speed = { value = "3000 rpm"', 'work_speed = { value = "2900 rpm"'))
    page = Page(page_with(work_up(load(path)), {})).text
    # 2900 x 4.65/10.85 x 13/40 = 403.9
    assert "404 rpm" in page and "418 rpm" not in page


def test_a_page_that_fetches_something_is_refused():
    for bad in (
        '<img src="https://x/y.png">',
        "<script src=a.js></script>",
        '<a href="other.html">x</a>',
        "<style>@import 'x.css'</style>",
        '<p style="background:url(x.png)">',
    ):
        with pytest.raises(OutsideReference):
            refuse_outside(f"<html><body>{bad}</body></html>")
    refuse_outside('<a href="#top">up</a><img src="data:image/png;base64,AAAA">')


def test_out_that_is_a_file_is_refused_and_kept(tmp_path, capsys):
    path = tmp_path / "out"
    path.write_text("mine")
    assert main(["record", DEMO, "--out", str(path)]) == 2
    assert path.read_text() == "mine" and "Name a folder" in capsys.readouterr().err


def test_notebooks_are_run_only_where_they_are_asked_for(tmp_path, monkeypatch, capsys):
    """An older record's notebooks go when the new record has none: they would tell of another build."""
    ran = []
    monkeypatch.setattr(
        "jackshaft.record._executed", lambda book, build: ran.append(book) or {f"{book.stem}.ipynb": b""}
    )
    asked = ["record", "rotor_bearings", "--out", str(tmp_path / "out")]
    assert main([*asked, "--notebooks"]) == 0
    books = len(ran)
    said = capsys.readouterr().out
    assert books > 5 and f"Running notebook {books} of {books}: " in said and f"and {books} executed notebooks" in said
    assert main(asked) == 0 and len(ran) == books
    said = capsys.readouterr().out
    assert "fitting cards to print," in said and f"{ran[0].stem}.ipynb" in said.partition("Taken away")[2]
    left = sorted(p.suffix for p in (tmp_path / "out").iterdir() if not p.name.startswith("."))
    assert left == [".html"] * 8 + [".png", ".txt"]


@pytest.mark.parametrize("path", find_notebooks(), ids=lambda p: p.stem)
def test_a_notebook_as_a_page_refers_to_nothing_outside_itself(path):
    """With the stored outputs, which are those of a run: the notebook test compares them."""
    web = page_of(nbformat.read(path, as_version=4), title=path.stem)
    refuse_outside(web)
    assert "<table" in web and "<h2" in web


def test_a_fingerprint_follows_the_values_and_not_how_they_were_typed():
    build = load(DEMO)
    mark = fingerprint(build)
    assert re.fullmatch("[0-9a-f]{8}", mark)
    key = "stage[crank belts].pulley[E].diameter"
    inches = build.get(key).si / 0.0254
    assert fingerprint(build.with_values({key: f"{inches * 25.4:.6f} mm"})) == fingerprint(
        build.with_values({key: f"{inches:.8f} in"})
    )
    assert fingerprint(build.with_values({key: f"{inches + 0.001:.4f} in"})) != mark
    assert fingerprint(build.with_values({"circuit.fuse": "none"})) != fingerprint(
        build.with_values({"circuit.fuse": ""})
    )


def test_figures_stand_on_their_decimal_points():
    """Behind the point every cell is as long as the longest, the unseen part counted; mixed units are left alone."""
    cells, figures = on_their_points(("14.3 lbf", "6.13 lbf", "120 lbf", ""))
    behind = ["".join(c).partition(".")[2] for c in cells]
    assert figures and [len(b) for b in behind[:3]] == [len("00 lbf")] * 3 and behind[3] == ""
    assert on_their_points(("1 in", "25 mm"))[1] is False


def test_the_check_that_governs_is_the_worst_and_of_these_the_nearest_to_its_limit():
    def check(id, verdict, found, words, limit=10.0):
        value, wanted = Number(found, "force", "metric"), Number(limit, "force", "metric", words=words)
        return Check(f"x.{id}", id, value, wanted, verdict, "", "do it")

    far, near = check("far", GO, 30.0, "{} or more"), check("near", GO, 9.0, "{} or less")
    assert governing([far, near]) is near and governing([]) is None
    assert governing([far, near, check("care", CAUTION, 30.0, "{} or more")]).id == "x.care"


def test_two_orders_that_set_one_value_otherwise_say_that_only_one_is_done():
    """Seen: a record that ordered tensions of 23, 20, 54 and 98 lbf, one after the other."""

    def caution(name, **changes):
        cure = Cure(f"Mend {name}.", changes, GO, "", ())
        return Check(f"grip.{name}", name, "", "", CAUTION, "Weak.", "Mend it.", cures=(cure,))

    said = [t.order for t in todo([caution("a", x="1"), caution("b", x="2"), caution("c", x="1"), caution("d", y="2")])]
    assert ["not both" in words for words in said] == [False, True, True, False]
    assert "number 1, not both" in said[1] and "number 2, not both" in said[2]


def test_a_record_without_a_browser_is_made_all_the_same_and_says_so(monkeypatch, tmp_path):
    monkeypatch.setattr(paper.shutil, "which", lambda name: None)
    written = write_record(load("rotor_bearings"), tmp_path / "out", pdf=True)
    assert written.pdf is None and written.page.exists() and "no Chromium or Chrome is installed" in written.words


def test_a_browser_that_prints_nothing_is_told_of(monkeypatch):
    monkeypatch.setattr(paper, "browser", lambda: "/bin/false")
    with pytest.raises(paper.NotPrinted, match="false did not print the page"):
        paper.pdf_of("<html></html>", "A4")
