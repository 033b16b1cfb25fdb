"""The workbench as a local web page: reads the request, calls, draws; no formula lives here."""

__all__: list[str] = []
