"""Figures: fit to stand in a page with others, the same twice, honest about a design that does not work."""

from __future__ import annotations

import io
import re

import matplotlib
import panel_toy
import pytest
from jackshaft.drawing import style
from jackshaft.drawing.palette import DARK
from jackshaft.drawing.svg import _extent
from jackshaft.drawing.view import Candidate, View
from jackshaft.ui.style import COLOURS
from matplotlib.backends.backend_agg import FigureCanvasAgg
from PIL import Image

PICTURE = (0.254, 0.127, 0.508, "63.87 in")


@pytest.fixture
def view():
    made = panel_toy.ToyView("toy")
    made.draw(PICTURE)
    return made


class Curve(View):
    """A plain curve with axes."""

    def compose(self, figure):
        self.axes = style.add_plot(figure, (0, 10), (0, 100), x_label="speed (rpm)", y_label="torque (N·m)", title="T")
        self.line = self.axes.plot([], [])[0]

    def update(self, picture, pinned=()):
        self.line.set_data([0, 10], [0, picture])

    def alt(self):
        return f"curve to {self.line.get_ydata()[1]:g} N·m"


def test_artists_stand_where_the_result_says(view):
    x, y = view.belt.get_data()
    assert min(x) == pytest.approx(-0.127, abs=1e-4)
    assert max(x) == pytest.approx(0.508 + 0.0635, abs=1e-4)
    assert [n.get_text() for n in view.names] == ["10.000 in", "5.000 in"]


def test_svg_is_the_same_twice_and_after_going_there_and_back(view):
    first = view.svg()
    assert view.svg() == first
    view.draw((0.3, 0.127, 0.508, "x"))
    assert view.svg() != first
    view.draw(PICTURE)
    assert view.svg() == first


def test_svg_styles_nothing_but_itself_and_names_nothing_outside(view):
    svg = view.svg()
    assert svg.startswith('<svg class="jk-svg-toy"')
    for rule in re.findall(r"<style[^>]*>(.*?)</style>", svg, re.S):
        for selector in re.findall(r"([^{}]+)\{", rule):
            assert selector.strip().startswith(".jk-svg-toy ")
    assert "<metadata" not in svg and "<?xml" not in svg
    assert not re.search(r'(?:href|src)="(?!#)', svg)
    assert "10.000 in</text>" in svg


def test_ids_inside_two_pictures_differ(view):
    other = panel_toy.ToyView("other")
    other.draw(PICTURE)

    def clips(svg):
        return set(re.findall(r'<clipPath id="([^"]+)"', svg))

    assert clips(view.svg()) and not clips(view.svg()) & clips(other.svg())


def test_furniture_is_drawn_once_and_again_when_it_changes():
    view = Curve("curve")
    view.draw(50)
    first = view.svg()
    assert first.count(">torque (N·m)</text>") == 1
    ground = view._ground
    view.draw(60)
    assert view.svg() != first
    assert view._ground is ground
    view.axes.set_ylim(0, 200)
    assert ">200</text>" in view.svg()
    assert view._ground is not ground
    view.axes.set_title("other", loc="left")
    assert ">other</text>" in view.svg()
    view.axes.set_axis_off()
    view.svg()
    ground, measured = view._ground, _extent.cache_info().misses
    view.axes.set_ylim(0, 300)
    view.svg()
    assert view._ground is ground, "a plane without ticks holds no furniture"
    assert _extent.cache_info().misses == measured, "words that stay are measured once"


def test_drawing_in_two_goes_shows_every_artist_once(view):
    whole = io.StringIO()
    with style.drawing("toy"):
        view.figure.savefig(whole, format="svg")
    for words in ("10.000 in", "5.000 in"):
        assert view.svg().count(f">{words}</text>") == whole.getvalue().count(f">{words}</text>") == 1
    assert view.svg().count("<path") >= whole.getvalue().count("<path")


def test_banner(view):
    calm = view.png()
    view.draw(PICTURE, stop="the belt is too short")
    assert view.describe() == "does not work: the belt is too short. " + view.alt()
    assert "does not work: the belt is too short" in view.svg()
    assert view.png() != calm
    view.stamp(old=True)
    assert view.describe().startswith("old: does not match the inputs. ")
    view.stamp()
    assert view.describe() == view.alt()
    assert view.png() == calm


def test_long_reason_stays_inside_the_figure(view):
    view.draw(PICTURE, stop="the tensioner cannot reach the belt because " + "its slot ends far too early and " * 6)
    with style.drawing("toy"):
        canvas = FigureCanvasAgg(view.figure)
        canvas.draw()
        box = view._banner[2].get_window_extent(canvas.get_renderer())
    width, height = view.figure.bbox.width, view.figure.bbox.height
    assert box.x0 >= 0 and box.x1 <= width
    assert box.y1 <= height and box.height <= style.BAND * view.figure.dpi
    assert "…" in view._banner[2].get_text()


def test_candidates_are_overlaid_in_their_own_colour_and_dashes(view):
    colour, dashes = style.CANDIDATES[0]
    view.draw(PICTURE, [Candidate("A", (0.254, 0.127, 0.7, "x"), colour, dashes)])
    assert colour in view.svg() and "stroke-dasharray" in view.svg()
    assert "candidate A" in view.describe()
    view.draw(PICTURE)
    assert colour not in view.svg()


def test_png_is_small_and_the_same_twice(view):
    png = view.png()
    image = Image.open(io.BytesIO(png))
    assert image.mode == "P"
    assert image.size == (round(7.2 * 180), round(4.4 * 180))
    assert len(png) < 40_000
    assert view.png() == png


def test_the_readers_own_settings_change_nothing(view):
    first, png = view.svg(), view.png()
    own = {"font.size": 20, "lines.linewidth": 9, "figure.facecolor": "red", "svg.fonttype": "path"}
    with matplotlib.rc_context(own):
        other = panel_toy.ToyView("toy")
        other.draw(PICTURE)
        assert other.svg() == first
        assert other.png() == png
        assert matplotlib.rcParams["font.size"] == 20


def test_equal_scales_fill_the_box(view):
    axes = view.axes
    part, (width, height) = axes.get_position(), view.figure.get_size_inches()
    x, y = axes.get_xlim(), axes.get_ylim()
    assert (x[1] - x[0]) / (part.width * width) == pytest.approx((y[1] - y[0]) / (part.height * height))
    assert x[0] <= -0.35 and x[1] >= 0.9 and y[0] <= -0.4 and y[1] >= 0.4


@pytest.mark.parametrize("anticlockwise, sign", [(True, 1), (False, -1)])
def test_turn_arrow_runs_the_way_the_shaft_turns(anticlockwise, sign):
    points = style.turn_points((2, 3), 1.5, anticlockwise=anticlockwise) - (2, 3)
    cross = points[:-1, 0] * points[1:, 1] - points[:-1, 1] * points[1:, 0]
    assert (sign * cross > 0).all()


def test_name_must_fit_a_class_and_an_id():
    with pytest.raises(ValueError, match="small letters"):
        panel_toy.ToyView("Two Words")


def luminance(colour):
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(a, b):
    """Contrast ratio of the web content accessibility guidelines 2.1, from memory."""
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_black_on_white_is_21():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("theme", [0, 1])
@pytest.mark.parametrize(
    "front, back",
    [
        ("ink", "paper"),
        ("muted", "paper"),
        ("muted", "sheet"),
        ("ink", "sheet"),
        ("go", "paper"),
        ("caution", "paper"),
        ("stop", "paper"),
        ("unknown", "paper"),
        ("paper", "stop"),
        ("paper", "accent"),
        ("ink", "stop-back"),
        ("ink", "go-back"),
        ("ink", "caution-back"),
        ("ink", "unknown-back"),
        ("stop", "stop-back"),
        ("go", "go-back"),
    ],
)
def test_words_can_be_read_in_both_themes(theme, front, back):
    assert contrast(COLOURS[front][theme], COLOURS[back][theme]) >= 4.5


@pytest.mark.parametrize(
    "colour",
    [
        style.INK,
        style.MUTED,
        style.BELT,
        style.ACCENT,
        style.GO,
        style.CAUTION,
        style.STOP,
        style.UNKNOWN,
        *(c for c, _ in style.CANDIDATES),
    ],
)
def test_figure_colours_stand_off_the_paper(colour):
    assert contrast(colour, style.PAPER) >= 4.5
    assert contrast(DARK[colour], DARK[style.PAPER]) >= 4.5
    assert contrast("#ffffff", style.BANNER) >= 4.5


def test_every_colour_of_a_panels_picture_follows_the_theme_and_a_kept_one_is_light(view):
    view.stamp(stop="it does not fit")
    kept = "".join(view.vectors())
    assert "var(" not in kept and style.PAPER in kept
    own = re.findall(r"(?<!,)#[0-9a-f]{6}(?![0-9a-f])", view.html())
    assert set(own) == {style.BANNER, "#ffffff"}
    assert re.findall(r"var\(--jk-([0-9a-f]{6}),#([0-9a-f]{6})\)", view.html())[0] == (style.PAPER[1:],) * 2


def test_candidates_differ_without_colour():
    assert len({dashes for _, dashes in style.CANDIDATES}) == len(style.CANDIDATES)
