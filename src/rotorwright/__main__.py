"""`python -m rotorwright` is the command."""

from rotorwright.cli.main import run

run()
