"""The sources of a record as end notes: each stands once, and is called by its number."""

from __future__ import annotations

from dataclasses import dataclass

from jackshaft.results import Results
from jackshaft.tables import in_words, key_and_place


@dataclass(frozen=True)
class Note:
    """A source: its number, its title, and every place in it that was used."""

    number: int
    title: str
    places: tuple[str, ...]


class Notes:
    """The end notes of a record, numbered in the order of their titles.

    Parameters
    ----------
    results : Results
        What cites them.
    """

    def __init__(self, results: Results):
        places: dict[str, list[str]] = {}
        for key in results.sources():
            name, place = key_and_place(key)
            places.setdefault(in_words(name), []).extend([place] if place else [])
        self.all = tuple(
            Note(number, title, tuple(dict.fromkeys(found)))
            for number, (title, found) in enumerate(sorted(places.items(), key=lambda item: item[0].lower()), 1)
        )
        self._numbers = {note.title: note.number for note in self.all}

    def of(self, cited: str) -> list[int]:
        """Return the numbers of the sources that a check cites, each once."""
        names = (key_and_place(key.strip())[0] for key in cited.split(";") if key.strip())
        return sorted({self._numbers[in_words(name)] for name in names})


__all__ = ["Note", "Notes"]
