"""Electrical calculations: plain numbers or facts in, numbers with bounds and their steps out."""
