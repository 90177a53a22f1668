"""Bytes in, report out: the one road that the web, the command and remedies take."""
