"""The command line: reads the request, calls, draws. No formulas."""
