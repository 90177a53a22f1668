"""The members of a proposal, one module for each group of objects."""
