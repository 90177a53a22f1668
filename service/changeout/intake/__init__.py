"""From bytes to a proposal: text, members, quantities, contradictions. What cannot be read is refused, all at once."""
