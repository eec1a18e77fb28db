"""Addresses within the counter."""

from __future__ import annotations

from urllib.parse import quote, urlencode

from flask import Response


def link(path: str, **asked: str) -> str:
    """Return an address, made of names as they are; what is "" is left out."""
    words = urlencode({name: value for name, value in asked.items() if value})
    return f"{quote(path)}?{words}" if words else quote(path)


def go_to(address: str) -> Response:
    """Return the answer that sends the browser on, so that a reload sends nothing twice."""
    answer = Response(status=303)
    answer.headers["Location"] = address
    return answer
