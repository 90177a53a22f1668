"""From a proposal and a ruleset to a report: rules, waivers, questions, verdict, digests."""
