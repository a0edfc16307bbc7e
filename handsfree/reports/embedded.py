"""Sound and pictures inside the page itself: it needs no other file, and no network."""

from __future__ import annotations

from base64 import b64encode

from handsfree.reports.markup import Markup, tag


def data_url(kind: str, content: bytes) -> str:
    """`kind`: the media type, "image/jpeg"."""
    return f"data:{kind};base64," + b64encode(content).decode("ascii")


def audio(flac: bytes) -> Markup:
    """To be played in the page."""
    return tag("audio", controls="", src=data_url("audio/flac", flac))
