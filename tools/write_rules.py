"""Write docs/rules.md, the reference of every rule of `rotorwright check`, from the rules themselves."""

from collections.abc import Iterator
from pathlib import Path

from rotorwright.checks import Rule, all_rules

TARGET = Path(__file__).parent.parent / "docs" / "rules.md"

HEAD = """# What is checked

Written from the code by `tools/write_rules.py`; do not edit.

`rotorwright check CRAFT` runs every rule below. A breach of the nominal craft is a **stop** (do not order), a
**warning** or a **note**; beside it stands the chance of breach, the share of the craft's samples that break the
limit. Where less room is left than a rule wants, the next milder word is used. A rule that lacks a size or a figure
says what to give, and is counted: silence never means safe. Comparative models (heat, modes, soft mounts, shadowing)
and law give notes only; law differs by place and changes, so verify locally. A finding that is accepted is waived in
the craft file:

```toml
[[waive]]
code = "pack-overdrawn"
reason = "why it is accepted"
```
"""

FAMILIES = {
    "supply": "Supply: is it fed, and do currents and voltages stay within what the parts bear",
    "mechanics": "Mechanics: does it go together",
    "clearance": "Clearance: is there room",
    "signals": "Signals: does it talk",
    "flying": "Flying: does it fly as wanted",
    "law": "Law and safety: notes to verify locally",
}
WORDS = {"stop": "stop", "warn": "warning", "note": "note"}


def entry(rule: Rule) -> Iterator[str]:
    """One rule."""
    yield f"### `{rule.code}`"
    yield ""
    less = f"; {WORDS[rule.near]} with less than {rule.headroom:.3g} of room" if rule.headroom else ""
    yield f"{WORDS[rule.severity].capitalize()}{less}. Reads {', '.join(rule.reads)}."
    yield ""
    yield f"{rule.fact} {rule.why}"
    yield ""
    yield f"Fix: {rule.fix}"
    yield ""
    yield f"Source: {rule.source}"
    yield ""


def page() -> str:
    """The whole page."""
    lines = [HEAD]
    for family, heading in FAMILIES.items():
        lines += [f"## {heading}", ""]
        for rule in all_rules().values():
            if rule.family == family:
                lines += entry(rule)
    return "\n".join(lines).rstrip() + "\n"


if __name__ == "__main__":
    TARGET.write_text(page(), encoding="utf-8")
