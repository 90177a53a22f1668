"""changeout: judges a proposed panelboard replacement against an edition of the electrical code."""

__version__ = "0.1.0"
