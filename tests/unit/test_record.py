"""The build record: complete, self-contained, honest, and it follows the build file."""

import base64
import re
from html.parser import HTMLParser
from math import hypot
from pathlib import Path

import pytest
from jackshaft.buildfile import DEMO, list_builds, load
from jackshaft.cli import main
from jackshaft.record import OutsideReference, refuse_outside
from jackshaft.record import page as page_with
from jackshaft.record.glance import glance
from jackshaft.record.outside import outside_references
from jackshaft.results import work_up

CHIPPER = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"
BUILDS = [*list_builds(), CHIPPER]


class Page(HTMLParser):
    def __init__(self, html):
        super().__init__()
        self.images, self.words, self.tags, self.hidden = [], [], [], False
        self.feed(html)
        self.text = " ".join(" ".join(self.words).split())

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.hidden = tag in ("style", "title")
        if tag == "img":
            self.images.append(dict(attrs))

    def handle_endtag(self, tag):
        self.hidden = False

    def handle_data(self, data):
        if not self.hidden:
            self.words.append(data)


@pytest.fixture(scope="module")
def pages(record_of):
    return {str(b): record_of(b) for b in BUILDS}


@pytest.mark.parametrize("build", BUILDS, ids=str)
def test_opens_with_cautions_and_no_certificate(pages, build):
    page = Page(pages[str(build)])
    head = page.text[:1400]
    assert "no certificate" in head and "licensed" in head and "local codes" in head
    assert head.index("no certificate") < page.text.index(load(build).name)


@pytest.mark.parametrize("build", BUILDS, ids=str)
def test_refers_to_nothing_outside_itself(pages, build):
    page = Page(pages[str(build)])
    for tag, attrs in page.tags:
        assert tag not in ("script", "link", "iframe", "object", "embed")
        for name in ("src", "href"):
            value = attrs.get(name) or "#"
            assert value.startswith(("#", "data:image/png;base64,")), (tag, value[:60])
    assert outside_references(pages[str(build)]) == []
    assert "default-src 'none'" in pages[str(build)]


@pytest.mark.parametrize("build", BUILDS, ids=str)
def test_every_picture_is_whole_and_described(pages, build):
    for image in Page(pages[str(build)]).images:
        assert len(image["alt"]) > 20
        assert base64.b64decode(image["src"].split(",", 1)[1]).startswith(b"\x89PNG")


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
    assert "Cure: as above for every part over the working load." in todo


def test_a_design_with_a_stop_is_not_recorded_as_if_it_worked(pages):
    page = Page(pages[str(CHIPPER)])
    assert "This build does not work as it is" in page.text
    layouts = [i for i in page.images if "wheel belts" in i["alt"]]
    assert layouts and all("does not work" in i["alt"] for i in layouts)
    assert "does not work as it is" not in Page(pages[DEMO]).text or work_up(load(DEMO)).stops


def test_metric_record_has_no_inch(pages):
    text = Page(pages["compost_trommel"]).text
    assert not re.search(r"\d ?(in|ft|lbf|rpm|hp|AWG)(?![\w·/])", text.split("Sources")[0])


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
