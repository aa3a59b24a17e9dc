"""The panel's words as HTML and as plain text: strip, checks, facts, comparison, messages."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from jackshaft.drawing.palette import CANDIDATES
from jackshaft.drawing.svg import themed
from jackshaft.drawing.view import OLD
from jackshaft.render.html import CLASSES, badge, checks_html, facts_html
from jackshaft.render.parts import by_weight, tally
from jackshaft.render.plain import check_line, fact_line
from jackshaft.results import label
from jackshaft.results.checks import GO, STOP, SYMBOLS, Fact, worst
from jackshaft.ui.compare import BETTER, Comparison, compare, value_text
from jackshaft.ui.model import NOT_KNOWN
from jackshaft.ui.state import LETTERS, PanelState
from jackshaft.ui.trouble import Trouble

#: Marks in a comparison what differs from the present design.
DIFFERS = ' class="jk-differs"'


def strip_html(state: PanelState) -> str:
    """Return the verdict strip: the worst verdict, why, and the count of the others."""
    if state.outcome is None:
        return '<div class="jk-strip jk-none" role="status">nothing worked out yet</div>'
    if not state.fresh:
        return f'<div class="jk-strip jk-stale" role="status"><strong>{OLD}</strong></div>'
    checks = by_weight(state.outcome.checks)
    if not checks:
        return ""
    first, verdict = checks[0], worst(checks)
    words = f"{verdict} so far" if state.pending and verdict != STOP else ""
    more = "; more is being worked out" if state.pending else ""
    why = escape(first.reason if verdict != GO else "every check holds")
    lead = f"<strong>{escape(first.name)}:</strong> " if verdict != GO else ""
    # the strip keeps its height, or a slider would move under the hand: what it cuts lies over the picture when it is
    # pointed at, tapped, or reached by Tab
    return (
        f'<div class="jk-strip jk-{CLASSES[verdict]}-edge" role="status" tabindex="0">{badge(verdict, words)}'
        f'<span class="jk-why">{lead}{why}</span><span class="jk-tally">{tally(checks)}{more}</span>'
        f'<span class="jk-whole" aria-hidden="true">{lead}{why}</span></div>'
    )


def mark_html(*, old: bool, stop: str) -> str:
    """Return the words that stand across the live picture; nothing while it shows a design that works.

    Parameters
    ----------
    old : bool
        Whether the picture no longer matches the inputs.
    stop : str
        Why the design does not work.
    """
    if old:
        return f'<div class="jk-mark"><span>{OLD}</span></div>'
    if not stop:
        return ""
    # a phone shows the first sentence alone, so that the machine is seen below it; the checks have it whole
    first, _, more = stop.partition(". ")
    words = escape(first) + (f'.<span class="jk-more"> {escape(more)}</span>' if more else "")
    return f'<div class="jk-mark jk-stop-mark"><span>{SYMBOLS[STOP]} does not work: {words}</span></div>'


def swatch(letter: str) -> str:
    """Return a short line drawn the way the picture draws a candidate; nothing for the present design.

    Parameters
    ----------
    letter : str
        The candidate's letter.
    """
    if letter not in LETTERS:
        return ""
    colour, dashes = CANDIDATES[LETTERS.index(letter)]
    return themed(
        '<svg class="jk-swatch" viewBox="0 0 40 8" width="40" height="8" aria-hidden="true">'
        f'<path d="M0 4H40" fill="none" style="stroke: {colour}" stroke-width="3" '
        f'stroke-dasharray="{" ".join(str(2 * d) for d in dashes)}"/></svg>'
    )


def comparison_html(comparison: Comparison | None) -> str:
    """Return the candidates side by side; the better one says so in words."""
    if comparison is None:
        return ""
    heads = "".join(
        f'<th scope="col">{escape(h)}{swatch(h)}{f" {escape(name)}" if name else ""}</th>'
        for h, name in zip(comparison.heads, comparison.names, strict=True)
    )
    rows = "".join(
        f'<tr><th scope="row">{escape(row.label)}</th>'
        + "".join(
            f'<td class="jk-better">{escape(cell)} <strong>{BETTER}</strong></td>'
            if good
            else f"<td{DIFFERS if cell != row.cells[0] else ''}>{escape(cell)}</td>"
            for cell, good in zip(row.cells, row.better, strict=True)
        )
        + "</tr>\n"
        for row in comparison.rows
    )
    return (
        f'<div class="jk-scroll" tabindex="0" role="region" aria-label="candidates side by side">'
        f'<table class="jk-compare">\n<thead><tr><td></td>{heads}</tr></thead>\n'
        f"<tbody>{rows}</tbody></table></div>"
    )


def live_facts_html(state: PanelState) -> str:
    """Return the facts beside the picture, and what is changed that no field shows."""
    if not state.outcome:
        return ""
    changed = state.also_changed().items()
    also = [Fact(label(k, brief=True), here, f"tried; the build says {kept}") for k, (here, kept) in changed]
    return _faded(state, facts_html((*also, *state.outcome.facts)))


def live_checks_html(state: PanelState) -> str:
    """Return what is below the picture: the comparison with the candidates, what is open, and what is go, folded."""
    if state.outcome is None:
        return ""
    checks = state.outcome.checks
    shown, good = [c for c in checks if c.verdict != GO], [c for c in checks if c.verdict == GO]
    html = comparison_html(compare(state)) + (checks_html(shown) if shown else "")
    if good:
        words = f"{len(good)} checks are go" if len(good) > 1 else "1 check is go"
        html += f"<details><summary>{words}: show</summary>{checks_html(good)}</details>"
    return _faded(state, html)


def _faded(state: PanelState, html: str) -> str:
    return f'<div class="jk-results{"" if state.fresh else " jk-faded"}">{html}</div>' if html else ""


def alert_html(troubles: Sequence[Trouble], refusal: str = "") -> str:
    """Return the error box: every trouble that stands, and what was refused; nothing when all is well."""
    lines = [
        f"<p>{escape(t.line)}</p>"
        + (f"<details><summary>where</summary><pre>{escape(t.details)}</pre></details>" if t.details else "")
        for t in troubles
    ]
    if refusal:
        lines.append(f"<p>{escape(refusal)}</p>")
    return f'<div class="jk-alert" role="alert">{"".join(lines)}</div>' if lines else ""


def notice_html(words: str) -> str:
    """Return a message of something done."""
    return f'<div class="jk-notice" role="status">{escape(words)}</div>' if words else ""


def inputs(state: PanelState) -> tuple[Fact, ...]:
    """Return the settings that the outcome belongs to, each saying whether it is kept."""
    found = []
    for id, control in state.controls.items():
        reading = state.shown_readings.get(id)
        note = "" if control.key else "what-if, not kept"
        if control.key and reading is not None and not reading.same(state.base_reading(id)):
            note = f"not kept; the build says {state.base_text(control) or NOT_KNOWN}"
        found.append(Fact(control.label, value_text(control, reading, state.system), note))
    for key, (here, kept) in state.also_changed().items():
        found.append(Fact(label(key), here, f"not kept; the build says {kept}"))
    return tuple(found)


def plain(title: str, state: PanelState) -> str:
    """Return the panel as plain text: one fact a line, the same for the same state."""
    lines = [title]
    for trouble in state.troubles:
        lines.append(f"error: {trouble.line}")
    if state.outcome is None:
        return "\n".join(lines)
    if not state.fresh:
        lines.append(f"what follows is {OLD}")
    lines += [f"set  {fact_line(f)}" for f in inputs(state)]
    lines += [f"     {fact_line(f)}" for f in state.outcome.facts]
    lines += [check_line(check) for check in by_weight(state.outcome.checks)]
    comparison = compare(state)
    if comparison:
        for row in comparison.rows:
            cells = [
                f"{h} {c}" + (f" ({BETTER})" if b else "")
                for h, c, b in zip(comparison.heads, row.cells, row.better, strict=True)
            ]
            lines.append(f"side by side  {row.label}: " + "; ".join(cells))
    return "\n".join(lines)


def stored_html(title: str, state: PanelState) -> str:
    """Return the panel as HTML that reads well with no style and no script."""
    parts = [f"<p><strong>{escape(title)}</strong></p>"]
    parts += [f"<p><strong>error:</strong> {escape(t.line)}</p>" for t in state.troubles]
    if state.outcome is None:
        return "\n".join(parts)
    if not state.fresh:
        parts.append(f"<p>What follows is {OLD}.</p>")
    if state.outcome.checks:
        verdict = worst(state.outcome.checks)
        parts.append(f"<p>{badge(verdict)} ({tally(state.outcome.checks)})</p>")
    parts += [
        facts_html((*inputs(state), *state.outcome.facts)),
        checks_html(state.outcome.checks),
        comparison_html(compare(state)),
    ]
    return "\n".join(p for p in parts if p)
