"""One file a subject: pure functions on SI arrays, no state, no sideways imports."""
