"""The parts of a build sheet, each a function from a craft and its results to blocks."""
