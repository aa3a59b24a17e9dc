"""The start page and the record page: open, make, write down, add a part, render."""
