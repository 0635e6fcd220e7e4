"""Proofs over every answer there is: a rule set in solver terms, and what is asked of it."""
