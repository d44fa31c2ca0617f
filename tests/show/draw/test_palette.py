"""The colours stay apart for every kind of eye, and stand out from their ground."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from herbcalc.show.draw.palette import GROUNDS, PATTERNS, TOLD_APART, css

# Severity 1.0 matrices for linear RGB: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A physiologically-based
# model for simulation of color vision deficiency", IEEE TVCG 15(6), 2009, table of the paper's supplement (numbers
# from memory; the rows sum to 1, which is checked below).
EYES = {
    "usual": np.eye(3),
    "protan": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "deutan": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "tritan": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}
# sRGB to CIE XYZ, D65: IEC 61966-2-1.
XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
WHITE = np.array([0.95047, 1.0, 1.08883])


def linear(colour):
    c = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def lab(rgb):
    t = XYZ @ np.clip(rgb, 0, 1) / WHITE
    f = np.where(t > 216 / 24389, np.cbrt(t), (24389 / 27 * t + 16) / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def contrast(one, other):
    """WCAG 2.2, contrast ratio of two colours."""
    dark, light = sorted(float(XYZ[1] @ linear(c)) for c in (one, other))
    return (light + 0.05) / (dark + 0.05)


def apart(names, ground, eye):
    seen = {n: lab(EYES[eye] @ linear(GROUNDS[ground][n])) for n in names}
    return {(a, b): float(np.linalg.norm(seen[a] - seen[b])) for a, b in combinations(names, 2)}


def test_the_matrices_keep_grey_grey():
    for matrix in EYES.values():
        assert np.allclose(matrix.sum(axis=1), 1.0, atol=2e-6)


def test_the_measure_of_difference():
    # CIE 1976: black to white is 100; pure red and pure green of sRGB are about 170 apart (textbook figures).
    assert np.linalg.norm(lab(linear("#000000")) - lab(linear("#ffffff"))) == pytest.approx(100, abs=0.01)
    assert np.linalg.norm(lab(linear("#ff0000")) - lab(linear("#00ff00"))) == pytest.approx(170.6, abs=0.5)
    # WCAG 2.2: black on white is 21 to 1; #767676 on white is the well known grey that just passes 4.5.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert 4.5 <= contrast("#767676", "#ffffff") < 4.6


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("eye", EYES)
def test_fillings_are_told_apart(ground, eye):
    # 20 is far more than the 2.3 that an eye just notices; red and green that only hue parts fall under 10.
    assert min(apart((*TOLD_APART, "ground"), ground, eye).values()) >= 19


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("eye", EYES)
def test_lines_are_told_apart(ground, eye):
    # Lines differ in their dashes too.
    assert min(apart(("limit", "curve", "ghost"), ground, eye).values()) >= 12


def test_a_known_bad_pair_would_be_found(monkeypatch):
    monkeypatch.setitem(GROUNDS["light"], "solids", "#b5651d")
    monkeypatch.setitem(GROUNDS["light"], "bottle", "#6b7f1e")
    assert apart(("solids", "bottle"), "light", "deutan")["solids", "bottle"] < 19


@pytest.mark.parametrize("ground", GROUNDS)
def test_words_have_contrast_on_ground_and_tile(ground):
    colours = GROUNDS[ground]
    for words in ("ink", "quiet", "limit", "short", "keeps", "focus"):
        for under in ("ground", "card"):
            assert contrast(colours[words], colours[under]) >= 4.5, (words, under)


@pytest.mark.parametrize("ground", GROUNDS)
def test_shapes_have_contrast(ground):
    colours = GROUNDS[ground]
    for shape in ("ink", "rule", "limit", "curve", "ghost", "focus"):
        assert contrast(colours[shape], colours["ground"]) >= 3, shape
    for filling in TOLD_APART:
        # A filling is outlined in ink, and its pattern is seen on it.
        assert contrast(colours["ink"], colours["ground"]) >= 3
        assert contrast(colours["pattern"], colours[filling]) >= 1.5, filling


def test_no_two_fillings_share_a_pattern():
    patterns = [PATTERNS[name] for name in TOLD_APART]
    assert all(patterns)
    assert len(set(patterns)) == len(patterns)


def test_both_grounds_name_the_same_colours():
    assert set(GROUNDS["light"]) == set(GROUNDS["dark"])
    assert "--herb-ink:#2b2420" in css()
    assert ".herb-dark" in css()
