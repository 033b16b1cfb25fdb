"""Files to cut, print and look at; the only place that uses the CAD kernel, and only inside its functions."""
