"""Live panels over plain functions. The only room that imports the widgets library."""

from jackshaft.ui.base import Panel
from jackshaft.ui.model import Action, Compared, Control, FieldError, Outcome

__all__ = ["Action", "Compared", "Control", "FieldError", "Outcome", "Panel"]
