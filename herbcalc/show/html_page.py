"""Floor 5. The frame of an HTML page that stands alone: well-formed as XML too, as wide as its screen, no script."""

from __future__ import annotations

from html import escape


def whole(title: str, body: str, style: str = "") -> str:
    """A whole page.

    title  plain text
    body   the element <body> itself
    style  its style sheet

    >>> whole("A & B", "<body></body>").count("A &amp; B")
    1
    """
    style = f"<style>{style}</style>" if style else ""
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"/><title>{escape(title)}</title>'
        f'<meta name="viewport" content="width=device-width, initial-scale=1"/>{style}</head>\n{body}</html>\n'
    )
