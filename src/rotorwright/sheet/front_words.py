"""What a search says when no craft is left: which limit costs how much, and what comes nearest."""

from rotorwright.search.answer import Answer, Miss

__all__ = ["nothing_found"]


def nothing_found(answer: Answer) -> list[str]:
    """Sentences on why the front is empty; a miss is a share of its limit."""
    miss = answer.nearest_miss
    if not answer.limits:
        return ["No combination has every goal."]
    if miss and not miss.broken:
        return ["No combination that keeps every limit has every goal.", f"Keeps every limit: {_names(miss)}."]
    said = ["No combination keeps every limit.", _counted(answer)]
    return [*said, _nearest(miss) if miss else "None can be looked at in every limit."]


def _counted(answer: Answer) -> str:
    ranked = sorted(answer.limits.items(), key=lambda pair: (-pair[1], pair[0]))
    if answer.limits_counted == "each":
        counted = "; ".join(f"{name} by {number:,}" for name, number in ranked)
        return f"Broken, each by itself, of {answer.combinations:,}: {counted}."
    counted = "; ".join(f"{name} by {number:,}" for name, number in ranked if number)
    return f"First broken, as they were looked at one after the other (by itself each may be by more): {counted}."


def _nearest(miss: Miss) -> str:
    ranked = sorted(miss.broken.items(), key=lambda pair: pair[1])
    broken = ", ".join(f"{name} by {-margin:.2%}" for name, margin in ranked)
    lead = "Nearest of all" if miss.exact else f"Nearest of {miss.looked_at:,} looked at, not surely of all"
    return f"{lead}, by its worst miss: {_names(miss)}; it misses {broken}."


def _names(miss: Miss) -> str:
    return ", ".join(miss.parts.values())
