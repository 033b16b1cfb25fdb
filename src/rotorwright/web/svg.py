"""Pictures made by the sheet, in a page that may be dark though the machine is light."""

import re
from base64 import b64encode
from html import escape, unescape

from nicegui import ui

__all__ = ["show_svg"]


def show_svg(picture: str, otherwise: str = "nothing to draw") -> None:
    """Put an SVG of the sheet on the page; `otherwise` says why there is none.

    It is an image of its own, so that its styles hold for nothing else; it takes light or dark from the page.
    """
    if not picture:
        ui.html(f'<p class="rw-soft">{escape(otherwise)}</p>', sanitize=False)
        return
    title = re.search(r"<title>(.*?)</title>", picture, re.S)
    says = escape(unescape(title[1]) if title else "picture", quote=True)
    data = b64encode(picture.encode()).decode()
    ui.html(f'<img class="rw-svg" alt="{says}" src="data:image/svg+xml;base64,{data}">', sanitize=False)
