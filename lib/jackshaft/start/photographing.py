"""What the form of the record page does with photographs, as plain functions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from jackshaft.buildfile import Build, NotSaved
from jackshaft.photos import NoPhoto, Slot, add, folder_of, photos, slots_of
from jackshaft.terminal import shown


def choices(build: Build) -> list[tuple[str, Slot]]:
    """Return (words, slot) of the views that a build can be photographed in."""
    return [(f"{slot.name[:1].upper()}{slot.name[1:]}", slot) for slot in slots_of(build)]


def add_photos(build: Build, slot: Slot, words: str, files: Sequence[Mapping[str, object]]) -> str:
    """Put the photographs that were picked into a build's folder; return what was done.

    Parameters
    ----------
    build : Build
        The open build.
    slot : Slot
        What they show.
    words : str
        What stands below them, after the slot's name.
    files : sequence of mappings
        Each has a ``name`` and its ``content``, bytes.

    Raises
    ------
    ValueError
        If no file was picked, or one of them is not taken; the words say which, and what was kept before it.
    """
    if not files:
        raise ValueError("found no photograph; wanted one or more: pick them first")
    kept = []
    for file in files:
        try:
            kept.append(add(build, slot, words, bytes(file["content"])).name)
        except (NoPhoto, NotSaved) as error:
            before = f" Kept before it: {', '.join(kept)}." if kept else ""
            raise ValueError(f"{shown(str(file['name']))}: {error}.{before}") from error
    return f"Kept {', '.join(kept)} in {folder_of(build).name}. Make the record anew."


def there(build: Build) -> str:
    """Return in words how many photographs a build has, and which files of its folder are not shown."""
    folder = folder_of(build)
    if folder is None:
        return "The build is not kept in a file yet, so it has no folder for photographs."
    taken = photos(build)
    has = f"{len(taken.photos)} so far." if taken.photos else "None so far."
    return has + "".join(f" Not shown: {shown(one.name)}, {one.why}." for one in taken.refused)


__all__ = ["add_photos", "choices", "there"]
