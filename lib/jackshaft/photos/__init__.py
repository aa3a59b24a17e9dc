"""Photographs of a machine: what to take, and the folder beside the build file that they lie in."""

from jackshaft.photos.cleaning import FILE_BYTES, NoPhoto, clean
from jackshaft.photos.keeping import MOST, Photo, Refused, Taken, add, folder_of, in_place, photos, put_new, safe_name
from jackshaft.photos.slots import SLOTS, Slot, slot_of, slots_of

__all__ = [
    "FILE_BYTES",
    "MOST",
    "SLOTS",
    "NoPhoto",
    "Photo",
    "Refused",
    "Slot",
    "Taken",
    "add",
    "clean",
    "folder_of",
    "in_place",
    "photos",
    "put_new",
    "safe_name",
    "slot_of",
    "slots_of",
]
