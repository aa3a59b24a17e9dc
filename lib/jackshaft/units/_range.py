"""What a formula raises where an input lies outside what it holds for."""

from __future__ import annotations


class OutOfRange(ValueError):
    """An input outside what a formula or a table holds for; the message says which, and what is wanted."""
