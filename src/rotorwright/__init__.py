"""Rotorwright: a workbench for the independent builder of small FPV multirotors."""

__version__ = "0.1.0"
__all__ = ["__version__"]
