"""The validation page of the rotor: tables in Markdown, text that explains them, and scatter plots as SVG."""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

__all__ = ["draw", "table", "write_page"]

Array = NDArray[np.float64]
ERRORS = ["sets", "median error CT / CP [%]", "rms error [%]", "mean rms [%]", "mean error [%]"]
HEADS = {
    "summary": ["what is known", *ERRORS],
    "coverage": ["what is known", "", "propellers held [%] (90 %)", "rows held [%]", "half-width [%]", "at rest"],
    "geometry": ["family", *ERRORS],
    "typical": ["family", *ERRORS],
    "count": ["blades", "CT ratio off [%]", "CP ratio off [%]"],
    "bench": [
        "what is known",
        "sets",
        "advance error with two static points CT / CP [%]",
        "without [%]",
        "static point left out of five [%]",
        "rows held [%]",
    ],
}  # fmt: skip
TITLES = {
    "summary": "Summary",
    "coverage": "Do the bars hold?",
    "geometry": "By family: geometry and pitch, family left out of the fit",
    "typical": "By family: typical blade, family left out of the fit",
    "count": "Blade-count ratios",
    "bench": "Bench points attached",
}


def table(name: str, rows: list[list[str]]) -> str:
    """A Markdown table."""
    lines = [HEADS[name], ["---"] * len(HEADS[name]), *rows]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines)


def write_page(path: Path, sections: dict[str, list[list[str]]]) -> None:
    """Put the tables between the page's own text, which lives in rotor_page.txt beside this script."""
    text = Path(__file__).with_name("rotor_page.txt").read_text(encoding="utf-8")
    for name, rows in sections.items():
        text = text.replace(f"@{name}@", f"## {TITLES[name]}\n\n{table(name, rows)}")
    path.write_text(text, encoding="utf-8")


def draw(path: Path, pairs: list[tuple[Array, Array]]) -> None:
    """Measured against predicted CT and CP, one dot per row; the file is the same at every run."""
    import matplotlib

    matplotlib.use("svg")
    from matplotlib import pyplot

    matplotlib.rcParams["svg.hashsalt"] = "rotor"
    figure, axes = pyplot.subplots(1, 2, figsize=(9.0, 4.5), layout="constrained")
    for k, (axis, name) in enumerate(zip(axes, ("CT", "CP"), strict=True)):
        measured = np.concatenate([m[:, k] for m, _ in pairs])
        predicted = np.concatenate([p[:, k] for _, p in pairs])
        top = 1.05 * float(max(measured.max(), predicted.max()))
        axis.plot(measured, predicted, ".", markersize=2.5, color="#2a5a8a")
        for factor, style in ((1.0, "-"), (0.9, ":"), (1.1, ":")):
            axis.plot([0.0, top], [0.0, factor * top], style, color="#808080", linewidth=0.8)
        axis.set(xlabel=f"measured {name}", ylabel=f"predicted {name}", xlim=(0, top), ylim=(0, top))
    figure.savefig(path, metadata={"Date": None, "Creator": None})
    pyplot.close(figure)
