"""How a panel looks: one sheet of rules, confined to the panel, that follows the page's light or dark theme.

The layout answers to the panel's own width (container queries), not to the window's: side by side from
50rem, one column with the picture on top and sticky below that, slider under its field below 25rem.
"""

from __future__ import annotations

from jackshaft.drawing import palette
from jackshaft.drawing.palette import DARK, DARK_CSS

#: Name of a colour -> (light theme, dark theme). Text colours have at least 4.5:1 on ``paper``.
COLOURS: dict[str, tuple[str, str]] = {
    "paper": (palette.PAPER, DARK[palette.PAPER]),
    "sheet": ("#f1f3f1", "#242e35"),
    "ink": (palette.INK, DARK[palette.INK]),
    "muted": (palette.MUTED, DARK[palette.MUTED]),
    "line": ("#8896a0", "#71808b"),
    "hair": (palette.GRID, DARK[palette.GRID]),
    "accent": (palette.ACCENT, DARK[palette.ACCENT]),
    "go": (palette.GO, DARK[palette.GO]),
    "caution": (palette.CAUTION, DARK[palette.CAUTION]),
    "stop": (palette.STOP, DARK[palette.STOP]),
    "unknown": (palette.UNKNOWN, DARK[palette.UNKNOWN]),
    "go-back": ("#e6f2ea", "#1f3527"),
    "caution-back": ("#fbf0dc", "#3b2f17"),
    "stop-back": ("#fbe9e8", "#421f21"),
    "unknown-back": ("#eceff1", "#2c363d"),
}

_RULES = """
.jp-OutputArea-child:has(.jk-panel) ~ .jp-OutputArea-child { display: none; }
:is(.jp-OutputArea-child, .jp-OutputArea-output, .jp-OutputArea, .jp-Cell-outputWrapper, .jp-Cell):has(.jk-panel)
  { overflow: visible; }
/* a panel has no width of its own, so in a row of a box it would have none */
.jk-chosen.widget-box { display: block; overflow: visible; }
.jk-panel > .jk-chooser { max-width: 26rem; margin-bottom: 0.5rem; }
.jk-panel { container: jk / inline-size; display: block; overflow: visible; color: var(--jk-ink);
  font-size: 0.95rem; line-height: 1.4; margin: 0.25rem 0; }
.jk-panel .widget-html, .jk-panel .widget-html-content { margin: 0; height: auto; overflow: visible;
  line-height: 1.4; font-size: inherit; white-space: normal; align-self: auto; color: inherit; }
.jk-panel .widget-box { overflow: visible; margin: 0; }
.jk-panel p { margin: 0 0 0.25rem; }
.jk-panel .jk-head h3 { margin: 0 0 0.4rem; font-size: 1.15rem; line-height: 1.25; }
/* In one column the picture sticks to the top; side by side, strip, picture and facts do so together,
   inside a column of their own, so that they never slide over the checks. */
.jk-panel .jk-body { display: flex; flex-direction: column; gap: 0.7rem; align-items: stretch; }
.jk-panel :is(.jk-show, .jk-front) { display: contents; }
.jk-panel .jk-canvas { position: sticky; top: 0; z-index: 3; display: block; min-width: 0; }
.jk-panel .jk-canvas > :not(.jk-picture-box) { position: absolute; inset: 0; width: 100% !important; pointer-events: none;
  overflow: hidden; margin: 0; }
.jk-panel .jk-hand { position: absolute; inset: 0; pointer-events: none; }
.jk-panel .jk-grip { position: absolute; transform: translate(-50%, -50%); border-radius: 50%; pointer-events: auto;
  touch-action: none; cursor: grab; box-sizing: border-box; }
.jk-panel .jk-seen { border: 1px solid var(--jk-accent); box-sizing: border-box; }
.jk-panel .jk-grip:hover { border: 2px dotted var(--jk-accent); }
.jk-panel .jk-holding .jk-grip { cursor: grabbing; }
.jk-panel .jk-ring { position: absolute; transform: translate(-50%, -50%); border-radius: 50%; box-sizing: border-box;
  border: 2px solid var(--jk-accent); opacity: 0.55; }
.jk-panel .jk-hand-line { position: absolute; top: 0.3rem; left: 0.7rem; right: 0.7rem; font-size: 0.82rem; line-height: 1.2;
  color: var(--jk-muted); text-align: center; }
.jk-panel .jk-side { display: flex; flex-direction: column; gap: 0.4rem; min-width: 0; }
.jk-panel :is(.jk-facts-box, .jk-checks-box, .jk-strip-box, .jk-picture-box) { width: auto; min-width: 0; }
.jk-panel :is(.jk-facts-box, .jk-checks-box, .jk-strip-box, .jk-echo, .jk-alert-box, .jk-notice-box)
  :is(.widget-html-content:empty), .jk-panel .widget-html:has(> .widget-html-content:empty) { display: none; }

.jk-panel .jk-picture { position: relative; border: 1px solid var(--jk-line); border-radius: 6px;
  overflow: hidden; background: var(--jk-paper); line-height: 0; }
.jk-panel .jk-picture svg { width: 100%; height: auto; display: block; }
.jk-panel .jk-canvas { --jk-shows: wide; }
.jk-panel .jk-phone { display: none; max-width: 27rem; margin: 0 auto; }
.jk-panel .jk-picture .jk-alone { display: block; }
.jk-panel .jk-old svg { opacity: 0.45; filter: grayscale(1); }
/* The mark lies over the picture, never above it: what is under a hand on a slider must not move. */
.jk-panel .jk-mark { position: absolute; inset: 0 0 auto 0; z-index: 2; line-height: 1.25; padding: 0.3rem 0.7rem;
  min-height: 8.75%; box-sizing: border-box; background: #3a444c; color: #fff; font-weight: 700; text-align: center;
  display: flex; align-items: center; justify-content: center; }
.jk-panel .jk-mark > span { display: -webkit-box; -webkit-box-orient: vertical; -webkit-line-clamp: 2; overflow: hidden; }
.jk-panel .jk-stop-mark { background: BANNER; }

.jk-panel .jk-strip { display: flex; flex-wrap: wrap; align-items: center; gap: 0.3rem 0.7rem; padding: 0.45rem 0.7rem;
  border: 1px solid var(--jk-line); border-left-width: 6px; border-radius: 6px;
  background: var(--jk-sheet); min-height: 3.9rem; box-sizing: border-box; }
.jk-panel .jk-why { flex: 1 1 14rem; display: -webkit-box; -webkit-box-orient: vertical; -webkit-line-clamp: 2;
  overflow: hidden; }
.jk-panel .jk-strip:is(:hover, :focus) { position: relative; z-index: 4; }
.jk-panel .jk-whole { display: none; position: absolute; inset: 100% -1px auto -6px; padding: 0.4rem 0.7rem; pointer-events: none;
  border: inherit; border-top: 0; border-radius: 0 0 6px 6px; background: inherit; box-shadow: 0 4px 8px #0005; }
.jk-panel .jk-strip:is(:hover, :focus) .jk-whole { display: block; }
.jk-panel .jk-tally { color: var(--jk-muted); font-size: 0.85rem; }
.jk-panel .jk-go-edge { border-color: var(--jk-go); background: var(--jk-go-back); }
.jk-panel .jk-caution-edge { border-color: var(--jk-caution); border-style: dashed; background: var(--jk-caution-back); }
.jk-panel .jk-stop-edge { border-color: var(--jk-stop); border-width: 2px 2px 2px 6px; background: var(--jk-stop-back); }
.jk-panel .jk-unknown-edge, .jk-panel .jk-stale { border-color: var(--jk-unknown); border-style: dotted;
  background: var(--jk-unknown-back); }
.jk-panel .jk-badge { display: inline-block; white-space: nowrap; padding: 0 0.5rem; border-radius: 4px;
  border: 1.5px solid; font-weight: 700; line-height: 1.5; background: var(--jk-paper); }
.jk-panel .jk-go { color: var(--jk-go); }
.jk-panel .jk-caution { color: var(--jk-caution); border-style: dashed; }
.jk-panel .jk-stop { color: var(--jk-paper); background: var(--jk-stop); border-color: var(--jk-stop); }
.jk-panel .jk-unknown { color: var(--jk-unknown); border-style: dotted; }

.jk-panel .jk-group h4 { margin: 0.5rem 0 0; padding-bottom: 0.15rem; font-size: 0.95rem;
  border-bottom: 1px solid var(--jk-hair); }
.jk-panel .jk-control { display: grid; grid-template-columns: minmax(7rem, 9rem) minmax(6rem, 1fr);
  grid-template-areas: "box slider" "echo echo"; column-gap: 1.25rem; align-items: end; }
.jk-panel .jk-box { grid-area: box; display: flex; flex-direction: column; align-items: stretch; height: auto;
  width: auto; margin: 0; min-width: 0; overflow: visible; }
.jk-panel .jk-box.widget-dropdown { grid-column: 1 / -1; }
.jk-panel .jk-box .widget-label { width: max-content; max-width: none; text-align: left; height: auto; margin: 0;
  line-height: 1.4; font-weight: 600; color: var(--jk-ink); font-size: 0.92rem; overflow: visible; }
/* beside its slider a field has room for a long name; elsewhere the name is broken into lines */
.jk-panel .jk-box:not(.jk-control > .jk-box) .widget-label { width: auto; white-space: normal; }
.jk-panel .jk-box input, .jk-panel .jk-box select { flex: 0 0 44px; height: 44px; min-height: 44px; width: 100%; max-width: none; margin: 0;
  box-sizing: border-box; padding: 0 0.6rem; font-size: 1rem; border: 1px solid var(--jk-line); border-radius: 5px;
  background-color: var(--jk-paper); color: var(--jk-ink); font-variant-numeric: tabular-nums; }
.jk-panel .jk-box select { appearance: auto; background-image: none; padding: 0 0.4rem; }
.jk-panel .jk-bad .jk-box input, .jk-panel .jk-bad .jk-box select { border: 2px solid var(--jk-stop);
  background-color: var(--jk-stop-back); }
.jk-panel .jk-echo { grid-area: echo; color: var(--jk-muted); font-size: 0.85rem; }
.jk-panel .jk-wrong { color: var(--jk-stop); font-weight: 600; }
.jk-panel .jk-help { font-style: italic; overflow-wrap: anywhere; }

.jk-panel .widget-slider { grid-area: slider; width: auto; height: 44px; margin: 0; overflow: visible; }
.jk-panel .widget-slider .slider-container { height: 44px; width: 100%; margin: 0 14px; overflow: visible;
  display: flex; align-items: center; }
.jk-panel .widget-slider .noUi-target { width: 100%; height: 6px; margin: 0; border-radius: 3px;
  border: 1px solid var(--jk-line); background: var(--jk-hair); box-shadow: none; }
.jk-panel .widget-slider .noUi-connect { background: var(--jk-accent); }
.jk-panel .widget-slider .noUi-handle { width: 24px; height: 24px; top: -10px; right: -12px; border-radius: 50%;
  border: 2px solid var(--jk-accent); background: var(--jk-paper); box-shadow: none; cursor: grab; }
.jk-panel .widget-slider .noUi-handle::before { display: block; content: ""; position: absolute; inset: -12px; height: auto;
  width: auto; left: -12px; top: -12px; background: transparent; }
.jk-panel .widget-slider .noUi-handle::after { display: none; }
.jk-panel .jk-unset .noUi-connect { background: transparent; }
.jk-panel .jk-unset .noUi-handle { border-style: dashed; border-color: var(--jk-muted); }
.jk-panel :is(input, select, button, summary, .noUi-handle, .jk-scroll, .jk-grip, .jk-strip):focus-visible { outline: 3px solid var(--jk-accent);
  outline-offset: 2px; }

.jk-panel .jk-buttons, .jk-panel .jk-pin-row { display: flex; flex-wrap: wrap; gap: 0.5rem; }
.jk-panel .jk-pins { display: flex; flex-direction: column; gap: 0.4rem; }
.jk-panel .jk-candidate { display: flex; flex-direction: column; align-items: stretch; gap: 0.4rem;
  padding: 0.5rem 0; }
.jk-panel .jk-candidate + .jk-candidate { border-top: 1px solid var(--jk-hair); }
.jk-panel .jk-candidate p, .jk-panel .jk-candidate pre { margin: 0; white-space: pre-wrap; overflow-wrap: anywhere; }
.jk-panel .jk-candidate-head .widget-html-content { height: auto; line-height: 1.35; }
.jk-panel .jk-candidate > .jk-button { flex: none; align-self: flex-start; }
.jk-panel .jk-button { min-height: 44px; height: auto; width: auto; margin: 0; padding: 0.3rem 0.9rem; border-radius: 5px;
  border: 1px solid var(--jk-line); background: var(--jk-sheet); color: var(--jk-ink); font-size: 0.95rem;
  line-height: 1.25; white-space: normal; box-shadow: none; }
.jk-panel .jk-button:hover { border-color: var(--jk-accent); }
.jk-panel .jk-keep { background: var(--jk-accent); border-color: var(--jk-accent); color: var(--jk-paper); font-weight: 700; }

.jk-panel .jk-ask, .jk-panel .jk-ask-row { display: flex; flex-wrap: wrap; gap: 0.5rem; }
.jk-panel .jk-ask-row { align-items: center; border-left: 6px solid var(--jk-caution); padding: 0.4rem 0.7rem;
  background: var(--jk-caution-back); }
.jk-panel .jk-ask-row > .widget-html { flex: 1 1 100%; }
.jk-panel .jk-ask:empty { display: none; }
.jk-panel .jk-alert { border: 2px solid var(--jk-stop); border-left-width: 6px; border-radius: 5px; padding: 0.5rem 0.7rem;
  background: var(--jk-stop-back); color: var(--jk-ink); overflow-wrap: anywhere; }
.jk-panel .jk-alert::before { content: "✘ Not right yet"; display: block; font-weight: 700; color: var(--jk-stop); }
.jk-panel .jk-alert pre { overflow: auto; max-height: 12rem; font-size: 0.75rem; }
.jk-panel .jk-notice { border-left: 6px solid var(--jk-accent); padding: 0.4rem 0.7rem; background: var(--jk-sheet);
  border-radius: 5px; overflow-wrap: anywhere; }

.jk-panel .jk-fold, .jk-panel .jk-folded { display: flex; flex-direction: column; gap: 0.4rem; }
.jk-panel .jk-folded:empty { display: none; }
.jk-panel .jk-button.jk-fold-button { flex: 0 0 auto; text-align: left; font-weight: 600; justify-content: flex-start; }
.jk-panel .jk-mend { display: flex; flex-direction: column; gap: 0.5rem; }
.jk-panel :is(.jk-mend:empty, .jk-cures:empty) { display: none; }
.jk-panel .jk-mend-row { display: flex; flex-wrap: wrap; gap: 0.3rem 0.7rem; align-items: center; padding-bottom: 0.4rem;
  border-bottom: 1px solid var(--jk-hair); }
.jk-panel .jk-mend-row > .jk-mend-words { flex: 1 1 12rem; }
.jk-panel .jk-cures { flex: 1 1 100%; display: flex; flex-direction: column; gap: 0.5rem; }
.jk-panel .jk-cure { display: flex; flex-direction: column; gap: 0.3rem; border-left: 4px solid var(--jk-accent);
  padding: 0.1rem 0 0.1rem 0.7rem; }
.jk-panel .jk-matters-box table { font-size: 0.85rem; }

.jk-panel .jk-form { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 14rem), 1fr)); gap: 0.5rem 1rem;
  align-items: end; padding: 0.2rem 0.9rem 0.9rem; margin: 0 0 0.8rem; border: 1px solid var(--jk-line); border-radius: 6px; }
.jk-panel .jk-form > .jk-box, .jk-panel .jk-form > .jk-box.widget-dropdown { grid-area: auto; }
.jk-panel .jk-form > :is(.jk-group, .jk-buttons, .widget-html, .jk-found), .jk-panel .jk-form > .jk-across.jk-box
  { grid-column: 1 / -1; }
.jk-panel .jk-form > .jk-sheet { grid-column: 1 / -1; gap: 0.5rem; }
.jk-panel .jk-rows { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 24rem), 1fr)); gap: 0.6rem 1.5rem; }
.jk-panel .jk-form > .jk-cards { grid-column: 1 / -1; display: grid; gap: 0.7rem;
  grid-template-columns: repeat(auto-fill, minmax(min(100%, 17rem), 1fr)); }
.jk-panel .jk-build { display: flex; flex-direction: column; gap: 0.5rem; align-items: flex-start; justify-content: space-between;
  padding: 0.6rem 0.8rem; border: 1px solid var(--jk-line); border-radius: 6px; background: var(--jk-sheet); }
.jk-panel .jk-build.jk-here { border: 2px solid var(--jk-accent); background: var(--jk-paper); }
.jk-panel .jk-card-line { margin-bottom: 0.3rem; overflow-wrap: anywhere; line-height: 1.35; }
.jk-panel .jk-build .jk-button { background: var(--jk-paper); flex: 0 0 auto; }
.jk-panel .jk-form > .jk-found { display: flex; flex-flow: row wrap; gap: 0.4rem; }
.jk-panel .jk-found:empty { display: none; }
.jk-panel .jk-sought { outline: 3px solid var(--jk-accent); outline-offset: 4px; border-radius: 3px; }
.jk-panel .jk-have { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 13rem), 1fr)); gap: 0.5rem 1rem; }
.jk-panel .jk-have > .jk-box.widget-dropdown { grid-area: auto; }
.jk-panel .jk-ticks { display: flex; flex-wrap: wrap; gap: 0 1.2rem; }
.jk-panel .jk-tick { width: auto; height: auto; margin: 0; }
.jk-panel .jk-tick label { display: flex; align-items: center; gap: 0.5rem; min-height: 44px; width: auto; color: var(--jk-ink);
  font-size: 0.95rem; }
.jk-panel .jk-tick input { width: 22px; height: 22px; margin: 0; flex: 0 0 auto; accent-color: var(--jk-accent); }
.jk-panel .jk-rows:empty { display: none; }
.jk-panel .jk-row { display: grid; grid-template-columns: 2fr 1.3fr 1.5fr; gap: 0.2rem 0.4rem; align-content: start; }
.jk-panel .jk-row > .jk-box, .jk-panel .jk-row > .jk-box.widget-dropdown { grid-area: auto; }
.jk-panel .jk-row > .jk-box .widget-label { font-weight: 400; font-size: 0.85rem; }
.jk-panel .jk-row > .jk-box:first-child .widget-label { font-weight: 600; font-size: 0.92rem; }
.jk-panel .jk-row > .jk-echo { grid-area: auto; }
.jk-panel .jk-row > :is(.jk-echo, .jk-box:nth-last-child(2):first-child, .jk-box:only-of-type) { grid-column: 1 / -1; }
.jk-panel .jk-row.jk-bad > .jk-box:first-child :is(input, select) { border: 2px solid var(--jk-stop);
  background-color: var(--jk-stop-back); }
.jk-panel .jk-opens a { display: inline-block; padding: 0.6rem 0; color: var(--jk-accent); text-decoration: underline; }
.jk-panel .jk-form .jk-group h4 { font-size: 1rem; border: 0; }

.jk-panel .jk-faded { opacity: 0.6; }
.jk-panel .jk-results { display: grid; gap: 0.9rem; grid-template-columns: minmax(0, 1fr); }
.jk-panel table { border-collapse: collapse; font-size: 0.95rem; margin: 0; color: inherit; border: 0; }
.jk-panel table :is(th, td) { text-align: left; vertical-align: top; padding: 0.25rem 0.75rem 0.25rem 0; border: 0;
  border-bottom: 1px solid var(--jk-hair); background: none; max-width: none; white-space: normal;
  font-variant-numeric: tabular-nums; }
.jk-panel table tr { background: none; }
.jk-panel table th[scope=row] { font-weight: 400; color: var(--jk-muted); }
.jk-panel table.jk-facts { width: 100%; align-self: start; }
.jk-panel table.jk-facts td { font-weight: 600; }
.jk-panel .jk-note { font-weight: 400; color: var(--jk-muted); font-size: 0.85rem; }
.jk-panel .jk-scroll { overflow-x: auto; }
.jk-panel table.jk-compare :is(th, td) { padding: 0.3rem 0.8rem; white-space: nowrap; }
.jk-panel table.jk-compare th[scope=row] { position: sticky; left: 0; background: var(--jk-sheet); white-space: normal; }
.jk-panel .jk-swatch { width: 2.4rem; height: 0.6rem; margin-left: 0.4rem; vertical-align: middle; }
.jk-panel table.jk-compare td.jk-differs { font-weight: 600; background: var(--jk-sheet); }
.jk-panel table.jk-compare td.jk-better { background: var(--jk-go-back); color: var(--jk-go); }
.jk-panel ul.jk-checks { list-style: none; margin: 0; padding: 0; display: grid; gap: 0.55rem; align-content: start; }
.jk-panel ul.jk-checks li { margin: 0; padding-bottom: 0.5rem; border-bottom: 1px solid var(--jk-hair); }
.jk-panel .jk-limit, .jk-panel .jk-source { color: var(--jk-muted); }
.jk-panel .jk-source { font-size: 0.82rem; }
.jk-panel .jk-reason, .jk-panel .jk-remedy { margin-top: 0.15rem; }

@container jk (min-width: 50rem) {
  .jk-panel .jk-body { display: grid; grid-template-columns: minmax(18rem, 2fr) minmax(0, 3fr); gap: 1rem 1.5rem;
    grid-template-areas: "side show" "checks checks"; }
  .jk-panel .jk-side { grid-area: side; }
  .jk-panel .jk-show { grid-area: show; display: block; min-width: 0; }
  .jk-panel .jk-front { display: flex; flex-direction: column; gap: 0.6rem; position: sticky; top: 0; }
  .jk-panel .jk-canvas { position: relative; }
  .jk-panel .jk-checks-box { grid-area: checks; }
}
@container jk (max-width: 25rem) {
  .jk-panel .jk-control { grid-template-columns: minmax(0, 1fr); grid-template-areas: "box" "slider" "echo"; }
  .jk-panel .jk-box .widget-label { width: auto; white-space: normal; }
  .jk-panel .jk-button { flex: 1 1 8rem; }
  .jk-panel .jk-row { grid-template-columns: 1fr 1fr; }
  .jk-panel .jk-row > .jk-box:first-child { grid-column: 1 / -1; }
}
@container jk (max-width: 49.99rem) {
  .jk-panel .jk-canvas { order: 1; } .jk-panel .jk-side { order: 2; } .jk-panel .jk-facts-box { order: 3; }
  .jk-panel .jk-checks-box { order: 4; }
}
@container jk (max-width: 34rem) {
  .jk-panel .jk-strip { height: 6.9rem; align-content: flex-start; }
  .jk-panel .jk-tally { order: 1; flex: 1 1 8rem; line-height: 1.2; } .jk-panel .jk-why { order: 2; flex-basis: 100%; }
  .jk-panel .jk-canvas { --jk-shows: phone; }
  .jk-panel .jk-wide { display: none; } .jk-panel .jk-phone { display: block; }
  .jk-panel .jk-mark { font-size: 0.78rem; padding: 0.2rem 0.5rem; }
  .jk-panel .jk-mark > span { -webkit-line-clamp: 4; } .jk-panel .jk-more { display: none; }
}
@media (prefers-reduced-motion: no-preference) { .jk-panel .jk-faded, .jk-panel .jk-old svg { transition: opacity 0.1s; } }
""".replace("BANNER", palette.BANNER)


def _theme(which: int) -> str:
    return f"color-scheme: {('light', 'dark')[which]}; " + " ".join(
        f"--jk-{name}: {pair[which]};" for name, pair in COLOURS.items()
    )


CSS = f'<style>.jk-panel {{ {_theme(0)} }}\n[data-jp-theme-light="false"] .jk-panel {{ {_theme(1)} }}\n{DARK_CSS}\n{_RULES}</style>'
