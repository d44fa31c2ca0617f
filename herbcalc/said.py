"""Floor 0. How an amount is said aloud."""

from __future__ import annotations


def said(number: float, unit: str) -> str:
    return f"{number:g} {unit}".strip()
