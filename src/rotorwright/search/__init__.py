"""Arguing a choice: swap, compare, sweep, and the front over every combination."""
