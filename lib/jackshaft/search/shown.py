"""What a search found, as text and as HTML."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from jackshaft.render.html import badge
from jackshaft.search.controller import BEST, GROUPS, HEADS, SearchController


def table_html(controller: SearchController) -> str:
    """Return the best layouts as a table, one a row, the best of each column named in words."""
    if not controller.found:
        return ""
    heads = "".join(f'<th scope="col">{escape(h)}</th>' for h in ("layout", "verdict", *HEADS[:-1]))
    lines = []
    for row in controller.rows():
        cells = "".join(
            f'<td class="jk-better">{escape(c)} <strong>{BEST}</strong></td>' if good else f"<td>{escape(c)}</td>"
            for c, good in zip(row.cells[:-1], row.best, strict=False)
        )
        looked = " jk-looked" if row.letter == controller.looked else ""
        why = f". {row.verdict.capitalize()}: {row.why}" if row.why else ""
        where = f'<td class="jk-where" colspan="{len(HEADS)}">{escape(row.cells[-1] + why)}</td>'
        lines.append(
            f'<tr class="jk-first{looked}"><th scope="row">{escape(row.letter)}</th>'
            f"<td>{badge(row.verdict)}</td>{cells}</tr>\n"
            f'<tr class="jk-second{looked}"><td></td>{where}</tr>\n'
        )
    return (
        '<div class="jk-scroll" tabindex="0" role="region" aria-label="best layouts found"><table class="jk-compare">\n'
        f"<thead><tr>{heads}</tr></thead>\n<tbody>{''.join(lines)}</tbody></table></div>"
    )


def notes_html(controller: SearchController) -> str:
    """Return what the search assumed, and why nothing was found."""
    return "".join(f'<p class="jk-note">{escape(w)}</p>' for w in controller.notes())


def asked(controller: SearchController) -> Sequence[tuple[str, str]]:
    """Return what was asked, label and text; empty fields are left out."""
    return [
        (f"{group}: {label}", controller.texts[name])
        for group, fields in GROUPS
        for name, label, _ in fields
        if controller.texts[name]
    ]


def plain(title: str, controller: SearchController, refusal: str = "") -> str:
    """Return the panel as plain text, the same for the same search."""
    lines = [title, *(f"set  {label}: {text}" for label, text in asked(controller))]
    if refusal:
        lines.append(f"not searched: {refusal}")
    if controller.progress():
        lines.append(controller.progress())
    for row in controller.rows():
        cells = "; ".join(
            f"{head} {cell}" + (f" ({BEST})" if good else "")
            for head, cell, good in zip(HEADS, row.cells, row.best, strict=True)
        )
        lines.append(f"{row.letter}: {row.verdict}" + (f" ({row.why})" if row.why else "") + f". {cells}")
    return "\n".join([*lines, *controller.notes()])


def stored_html(title: str, controller: SearchController, refusal: str = "") -> str:
    """Return the panel as HTML that reads well with no style and no script."""
    parts = [f"<p><strong>{escape(title)}</strong></p>"]
    if asked(controller):
        parts.append(
            "<p>" + "; ".join(f"{escape(label)}: {escape(text)}" for label, text in asked(controller)) + "</p>"
        )
    if refusal:
        parts.append(f"<p><strong>not searched:</strong> {escape(refusal)}</p>")
    parts += [f"<p>{escape(controller.progress())}</p>", table_html(controller), notes_html(controller)]
    return "\n".join(p for p in parts if p and p != "<p></p>")


__all__ = ["notes_html", "plain", "stored_html", "table_html"]
