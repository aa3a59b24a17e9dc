"""Results made into text: for the terminal, and as data for scripts."""
