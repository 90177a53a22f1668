"""Published tables as data, and typed access to them. Nothing here computes more than a look-up."""
