"""Write docs/licences.md: the licence of all that is installed beside Rotorwright, as each package states it."""

import re
from collections.abc import Iterator
from importlib.metadata import Distribution, distribution
from pathlib import Path
from typing import Any

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

TARGET = Path(__file__).parent.parent / "docs" / "licences.md"

HEAD = """# Licences

Written from what each package states of itself by `tools/write_licences.py`; do not edit. Rotorwright itself is under
the Apache License 2.0. Nothing below is copied into it: each is installed beside it from the package registry, in the
version and with the hash that `requirements.lock` names, and used through its public interface. Those under a licence
that asks for more than a notice when they are changed or passed on (LGPL, MPL) are marked *.
"""

GROUPS = {
    "": "Always",
    "web": "For the page in the browser (extra `web`)",
    "cad": "For solids and STEP files (extra `cad`)",
    "cluster": "For a search on many machines (extra `cluster`)",
    "dev": "For working on Rotorwright itself (extra `dev`)",
}

# What the metadata of a package leaves out, from the licence file that comes with it.
STATED_IN_FILE = {"bd-materials": "Apache-2.0", "ocpsvg": "Apache-2.0"}

WORDS = {
    "Apache Software License": "Apache-2.0",
    "Apache 2.0": "Apache-2.0",
    "BSD License": "BSD",
    "MIT License": "MIT",
    "The MIT License (MIT)": "MIT",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "Python Software Foundation License": "PSF-2.0",
    "ISC License (ISCL)": "ISC",
}


def needed(name: str, extra: str, found: dict[str, Distribution]) -> dict[str, Distribution]:
    """Everything that a package asks for on this machine, and what that asks for, into `found`."""
    own = distribution(name)
    for line in own.requires or []:
        asked = Requirement(line)
        if asked.marker and not asked.marker.evaluate({"extra": extra}):
            continue
        key = canonicalize_name(asked.name)
        new = key not in found
        found[key] = distribution(key)
        for inner in {*asked.extras, *({""} if new else ())}:
            needed(key, inner, found)
    return found


def licence_of(package: Distribution) -> str:
    """The licence that a package states, in short words; '' when it states none."""
    told: Any = package.metadata
    kinds = [c.split(" :: ")[-1] for c in told.get_all("Classifier") or [] if c.startswith("License ::")]
    line = (told.get("License") or "").strip()
    if expression := told.get("License-Expression"):
        return str(expression)
    if kinds:
        return " / ".join(WORDS.get(kind, kind) for kind in kinds)
    if line and "\n" not in line and line != "UNKNOWN":
        return WORDS.get(line, line)
    return STATED_IN_FILE.get(canonicalize_name(told["Name"]), "")


def rows(packages: dict[str, Distribution]) -> Iterator[str]:
    """A line of the table for each."""
    for name, package in sorted(packages.items()):
        licence = licence_of(package) or "not stated"
        mark = " *" if re.search(r"GPL|MPL", licence) and "BSD" not in licence else ""
        yield f"| {name} | {package.version} | {licence}{mark} |"


def page() -> str:
    """The whole page; a package stands where it is first needed."""
    lines, before = [HEAD], set[str]()
    for extra, title in GROUPS.items():
        found = {name: one for name, one in needed("rotorwright", extra, {}).items() if name not in before}
        before |= set(found)
        lines += [f"## {title}", "", "| package | version | licence |", "|---|---|---|", *rows(found), ""]
    return "\n".join(lines)


if __name__ == "__main__":
    TARGET.write_text(page(), encoding="utf-8")
