"""Figures: results in, drawings out. The only room that imports matplotlib; it calculates nothing."""
