"""Pages, thin: fetch through access, ask a query or an action, render."""
