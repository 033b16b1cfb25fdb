"""A picture that folds: one arrangement for a wide page, another for a narrow one, in one SVG."""

from zlib import crc32

from rotorwright.sheet.ink import Picture

__all__ = ["NARROW", "folded", "folds"]

NARROW = 560
"""A page less wide than this [pixels] shows the narrow picture."""


def folded(wide: Picture, narrow: Picture) -> str:
    """SVG text of both; where no page tells how wide it is, the wide one is shown."""
    name = f"folds-{crc32(chr(10).join((*wide.items, *narrow.items)).encode()):08x}"
    both = Picture(wide.width, wide.height, wide.title, wide=wide.wide)
    both.items = [
        f"<style>{_fold(wide, narrow, name)}</style>",
        '<g class="wide">',
        *wide.items,
        f'</g><g class="narrow" display="none" transform="scale({wide.width / narrow.width:.4f})">',
        *narrow.items,
        "</g>",
    ]
    return both.svg().replace('class="drawn"', f'class="drawn {name}" preserveAspectRatio="xMidYMin meet"', 1)


def folds(svg: str) -> bool:
    """Whether a picture has an arrangement for a narrow page."""
    return 'class="drawn folds-' in svg[:300]


def _fold(wide: Picture, narrow: Picture, name: str) -> str:
    """On a narrow page the element takes the narrow picture's shape, and shows it.

    Where it is an image of its own its frame has the wide picture's shape, and no style in it can change that: there
    it stays wide. Such a frame is known by its shape, within two percent.
    """
    shape = f"aspect-ratio:{narrow.width:.0f}/{narrow.height:.0f};width:100%;height:auto"
    share = 1000 * wide.width / wide.height
    page = f"(max-width:{NARROW}px) and"
    taller, broader = f"(max-aspect-ratio:{share * 0.98:.0f}/1000)", f"(min-aspect-ratio:{share * 1.02:.0f}/1000)"
    return (
        f"@media {page} {taller},{page} {broader}{{svg.{name}{{{shape}}}svg.{name} .wide{{display:none}}"
        f"svg.{name} .narrow{{display:inline}}}}"
    )
