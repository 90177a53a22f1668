"""Example proposals, ready to send."""
