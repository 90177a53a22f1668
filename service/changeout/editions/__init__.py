"""Editions of the code as data, and local rulesets on top of them. See ``load``."""
