"""Live panels over plain functions. The widgets library is imported with the first panel or form, not here."""

from jackshaft.ui.model import Action, Compared, Control, FieldError, Outcome

__all__ = ["Action", "Compared", "Control", "FieldError", "Outcome"]
