"""What the homework tests share: five class codes, and the course's catalogue of slips."""

import csv
from pathlib import Path

import pytest

CLASSES = ("practice", "fern7", "Alder Lane 2", "ÉTÉ-23", "中級8")
CATALOGUE = Path(__file__).parent / "catalogue.csv"


@pytest.fixture(scope="session")
def classes():
    return CLASSES


@pytest.fixture(scope="session")
def catalogue():
    """item code -> list of rows (id, right sum, slip's sum)."""
    with CATALOGUE.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    found = {}
    for row in rows:
        found.setdefault(row["item"], []).append(row)
    return found
