"""Floor 5. The drawing board of a panel: one matplotlib Figure, whose artists are made once and then moved.

A lesson draws by naming what it draws: the first `board.box("water", ...)` makes a rectangle, the next one with the
same key moves it, and what was not drawn this time is hidden. There are no axes and no ticks that carry no number:
everything stands straight on the figure, in board units from the lower left corner. That and text kept as text make a
picture in about 5 ms instead of 65; one in which most words and lines stay where they are takes 2. matplotlib is
imported when the first board is made, never before.

>>> board = Board(300, 200, name="doctest")
>>> board.start()
>>> board.box("jar", 10, 10, 100, 150, fill="water")
>>> board.words("name", 60, 170, "a jar")
>>> board.svg().startswith("<svg")
True
"""

from __future__ import annotations

import base64
import functools
import io
import logging
import math
import re
import sys
import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from herbcalc.show.draw.palette import FONT, GROUNDS, PATTERNS

TILE = 72.0  # board units of a pattern that is repeated, as in matplotlib
_IDS = re.compile(r' id="(?:figure|patch|line2d|text|path)_\d+"')
_SIZE = re.compile(r'<svg([^>]*?) width="[^"]*" height="[^"]*"')
# A rule for all elements would hold for the whole page that a picture stands in, and have the browser look at every
# part of it anew whenever a picture changes. On the picture's own element its parts inherit the same.
_FOR_ALL = re.compile(
    r'(<svg[^>]*)>(.*?)\s*<defs>\s*<style type="text/css">\*\{([^{}]*)\}</style>\s*</defs>', re.DOTALL
)


@contextmanager
def style(name: str = "herbcalc") -> Iterator[None]:
    """The look of every picture, while it is made; nobody's settings are changed outside.

    `name` salts the ids inside the SVG, so that two pictures on one page do not share them and the same picture is
    the same text every time.
    """
    import matplotlib as mpl

    ours = {
        "svg.fonttype": "none",
        "svg.hashsalt": f"herbcalc {name}",
        "font.family": "DejaVu Sans",
        "hatch.linewidth": 0.8,
        "path.simplify": True,
        "text.usetex": False,
        "text.parse_math": False,
    }
    before = {name: mpl.rcParams[name] for name in ours}
    mpl.rcParams.update(ours)
    try:
        yield
    finally:
        mpl.rcParams.update(before)


def _without_manual() -> None:
    """Have matplotlib load without writing a manual of each artist's `set`: a third of its time, read by nobody."""
    from matplotlib.artist import Artist

    Artist._update_set_signature_and_docstring = classmethod(lambda kind: None)  # type: ignore[method-assign]


@functools.lru_cache(maxsize=4096)  # a picture that moves keeps nearly all of its words
def _measured(text: str, font: Any, is_math: bool) -> tuple[float, float, float]:
    """Width, height and depth of some words; matplotlib forgets them with each picture."""
    from matplotlib.textpath import text_to_path

    return text_to_path.get_text_width_height_descent(text, font, is_math)


_written: dict[Any, str] = {}
MOST_WRITTEN = 4096


@functools.cache
def _once(kind: str) -> Any:
    """matplotlib's class of that name, whose artists are written out once for each look that they are `told` by: from
    one picture to the next nearly all words and lines stay as they were."""
    import matplotlib.lines
    import matplotlib.text

    base: Any = {"Text": matplotlib.text.Text, "Line2D": matplotlib.lines.Line2D}[kind]

    class Once(base):  # type: ignore[misc]
        told: Any = None

        def draw(self, renderer: Any) -> None:
            out = getattr(renderer, "out", None)
            if out is None or not self.get_visible():
                super().draw(renderer)
            elif (svg := _written.get(self.told)) is not None:
                out.write(svg)
            else:
                start = out.tell()
                super().draw(renderer)
                out.seek(start)
                if len(_written) >= MOST_WRITTEN:
                    _written.clear()
                _written[self.told] = out.read()

    return Once


class Board:
    """A picture of `width` by `height` units on which a lesson draws.

    `size` is the size of its words, `small` that of side words (the same unless told); `narrow` boards have room for
    few words; `mute` ones have none; `ground` is "light" or "dark"; `letter` names the setting that is drawn, where
    two stand on one chart. Colours are named by meaning (see `palette`).
    """

    def __init__(
        self,
        width: float = 720,
        height: float = 330,
        *,
        name: str = "picture",
        size: float = 16.0,
        small: float = 0.0,
        narrow: bool = False,
        ground: str = "light",
    ) -> None:
        if sys.platform == "emscripten":  # each visit makes its list of fonts anew; no need to tell a student so
            logging.getLogger("matplotlib.font_manager").setLevel(logging.ERROR)
        _without_manual()
        from matplotlib.figure import Figure

        self.w, self.h, self.name = width, height, name
        self.size, self.small, self.narrow, self.ground = size, small or size, narrow, ground
        self.mute, self.letter = False, ""
        with style(name):
            self._figure = Figure((width / 72, height / 72), dpi=72)
        self._artists: dict[str, Any] = {}
        self._looks: dict[Any, dict[str, Any]] = {}
        self._drawn: set[str] = set()
        self._faint = ""
        self._measuring = False
        self._scales: dict[str, tuple[float, Any]] = {}

    def start(self, *others: Callable[[Board], None]) -> None:
        """Begin a picture: what is not drawn from here on will not be seen.

        `others` are drawings that will stand in the same picture or beside it: their scales count too, so that all
        can be compared by eye.
        """
        self._drawn = set()
        self._scales = {}
        self._measuring = True
        for draw in others:
            draw(self)
        self._measuring = False
        self._figure.set_facecolor(self.colour("ground"))

    def colour(self, name: str) -> str:
        """The colour of a meaning on this board's ground."""
        return GROUNDS[self.ground][name]

    @contextmanager
    def faint(self) -> Iterator[None]:
        """What is drawn inside is left as a dashed outline of an earlier setting, without words."""
        self._faint = "before "
        try:
            yield
        finally:
            self._faint = ""

    @property
    def is_faint(self) -> bool:
        """Whether an earlier setting is being drawn; what never moves need not be drawn again then."""
        return bool(self._faint)

    def scale(self, key: str, size: float, facts: Any) -> Any:
        """The facts of the largest scale that any drawing of this picture has asked for under this key."""
        held = self._scales.get(key)
        if held is None or size > held[0]:
            self._scales[key] = (size, facts)
        return self._scales[key][1]

    def _take(self, key: str, make: Any) -> Any:
        key = self._faint + key
        artist = self._artists.get(key)
        if artist is None:
            artist = make()
            artist.set_transform(None)
            if self._faint:  # its outlines lie above the fillings of this setting, its lines below those of this one
                artist.set_zorder(3.0 if key.startswith("before shape") else artist.get_zorder() - 0.5)
            self._figure.add_artist(artist)
            self._artists[key] = artist
        artist.set_visible(True)
        self._drawn.add(key)
        return artist

    def _make(self, artist: Any, **look: Any) -> None:
        """Give an artist its look: only what is not so already, for most of a picture stays as it was."""
        had = self._looks.setdefault(artist, {})
        for name, value in look.items():
            if name not in had or had[name] != value:
                getattr(artist, f"set_{name}")(value)
                had[name] = value

    def box(
        self,
        key: str,
        x: float,
        y: float,
        w: float,
        h: float,
        *,
        fill: str = "card",
        edge: str = "ink",
        width: float = 1.3,
    ) -> None:
        """A rectangle with its lower left corner at x, y, filled in the colour and the pattern of `fill`."""
        self.shape(key, [x, x + w, x + w, x], [y, y, y + h, y + h], fill=fill, edge=edge, width=width)

    def shape(
        self,
        key: str,
        xs: Sequence[float],
        ys: Sequence[float],
        *,
        fill: str = "card",
        edge: str = "ink",
        width: float = 1.3,
    ) -> None:
        """A closed outline through the points, filled in the colour and the pattern of `fill` ("" for none)."""
        if self._measuring:
            return
        from matplotlib.patches import Polygon

        points = list(zip(xs, ys, strict=True))
        patch = self._take("shape " + key, lambda: Polygon(points, closed=True, zorder=1.0))
        self._make(patch, xy=points)
        if self._faint:
            ghost = self.colour("ghost")
            self._make(patch, fill=False, edgecolor=ghost, linewidth=1.8, linestyle=(0, (4, 3)), hatch=None)
            return
        hatch = PATTERNS.get(fill, "")
        if hatch and self.ground == "paper":
            self._strokes(key, points, hatch)
            hatch = ""
        self._make(
            patch,
            fill=bool(fill),
            edgecolor=self.colour(edge) if edge else "none",
            linewidth=width if edge else 0.0,
            hatch=hatch or None,
        )
        if fill:
            self._make(patch, facecolor=self.colour(fill))
        if hatch and hasattr(patch, "set_hatchcolor"):
            self._make(patch, hatchcolor=self.colour("pattern"))

    def _strokes(self, key: str, points: Sequence[tuple[float, float]], hatch: str) -> None:
        """A pattern as lines that end at an outline: a filled one lies in a PDF as an image, eight times as large."""
        from matplotlib.hatch import get_path
        from matplotlib.patches import PathPatch
        from matplotlib.path import Path
        from matplotlib.transforms import Affine2D, IdentityTransform

        across, up = (
            range(math.floor(min(ends) / TILE), math.ceil(max(ends) / TILE)) for ends in zip(*points, strict=True)
        )
        tiles = [get_path(hatch).transformed(Affine2D().translate(x, y).scale(TILE)) for x in across for y in up]
        path = Path.make_compound_path(*tiles)
        lines = self._take("strokes " + key, lambda: PathPatch(path, fill=False, linewidth=0.8, zorder=1.0))
        lines.set(path=path, edgecolor=self.colour("pattern"))
        lines.set_clip_path(Path([*points, points[0]]), IdentityTransform())

    def line(
        self,
        key: str,
        xs: Sequence[float],
        ys: Sequence[float],
        *,
        ink: str = "ink",
        width: float = 1.6,
        dash: Sequence[float] = (),
    ) -> None:
        """A line through the points; `dash` is lengths of ink and gap."""
        if self._measuring:
            return
        line = self._take("line " + key, lambda: _once("Line2D")(xs, ys, zorder=2.0, solid_capstyle="round"))
        if self._faint:
            look = {"color": self.colour("ghost"), "linewidth": 1.6, "linestyle": (0, (4, 3))}
        else:
            look = {"color": self.colour(ink), "linewidth": width, "linestyle": (0, tuple(dash)) if dash else "-"}
        told = self.w, self.h, tuple(xs), tuple(ys), *look.values()
        if line.told != told:
            line.set_data(xs, ys)
            self._make(line, **look)
            line.told = told

    def dot(self, key: str, x: float, y: float, *, ink: str = "curve", across: float = 11.0) -> None:
        """A round mark with an outline, ring only for an earlier setting."""
        if self._measuring:
            return
        from matplotlib.lines import Line2D

        mark = self._take("dot " + key, lambda: Line2D([x], [y], marker="o", linestyle="none", zorder=4.0))
        mark.set_data([x], [y])
        colour = self.colour("ghost" if self._faint else ink)
        self._make(
            mark,
            markersize=across,
            markerfacecolor="none" if self._faint else colour,
            markeredgecolor=colour if self._faint else self.colour("ink"),
            markeredgewidth=1.6,
        )

    def words(
        self,
        key: str,
        x: float,
        y: float,
        text: str,
        *,
        ha: str = "center",
        va: str = "center",
        ink: str = "ink",
        size: float = 0.0,
        bold: bool = False,
        turn: float = 0.0,
        card: bool = False,
        always: bool = False,
    ) -> None:
        """Words at x, y. `card` puts a strip of ground behind them. An earlier setting has no words, but for those
        that are `always` wanted; these lie over all others."""
        if self._measuring or (not always and (self._faint or self.mute)):
            return
        made = self._take(
            "words " + key,
            lambda: _once("Text")(x, y, text, zorder=6.0 if always else 5.0, fontfamily="DejaVu Sans"),
        )
        look = {
            "position": (x, y),
            "text": text,
            "ha": ha,
            "va": va,
            "color": self.colour(ink),
            "fontsize": size or self.size,
            "fontweight": "bold" if bold else "normal",
            "rotation": turn,
        }
        told = self.w, self.h, *look.values(), card and self.ground
        if made.told != told:
            strip = {"facecolor": self.colour("ground"), "edgecolor": "none", "pad": 2.0, "alpha": 0.92}
            self._make(made, **look, bbox=strip if card else None)
            made.told = told

    def tag(self, key: str, x: float, y: float) -> None:
        """The letter of the setting that is drawn, beside a point; nothing where one stands alone."""
        if self.letter:
            above = self.size if self.letter == "B" else -self.size
            self.words(f"tag {self.letter} {key}", x, y + above, self.letter, bold=True, always=True)

    def wide(self, text: str, size: float = 0.0) -> float:
        """About how wide some words are, in board units (an average letter of this type is 0.6 of its size)."""
        return 0.6 * (size or self.size) * len(text)

    def svg(self) -> str:
        """The picture as one `<svg>` element that fills the width it is given."""
        for key, artist in self._artists.items():
            if key not in self._drawn:
                artist.set_visible(False)
        from matplotlib.backends.backend_svg import RendererSVG

        out = io.StringIO()
        with style(self.name), warnings.catch_warnings():
            # The words stay words: a plant's name in a script that our own font lacks is set in one of the browser's.
            warnings.filterwarnings("ignore", "Glyph .* missing from font")
            renderer = RendererSVG(self.w, self.h, out, metadata=dict.fromkeys(("Date", "Creator", "Format", "Type")))
            renderer.get_text_width_height_descent, renderer.out = _measured, out
            self._figure.draw(renderer)
            renderer.finalize()
        text = out.getvalue()
        text = _SIZE.sub(r"<svg\1", text[text.index("<svg") :], count=1)
        text = _FOR_ALL.sub(r'\1 style="\3">\2', text, count=1)
        return _IDS.sub("", text).replace("'DejaVu Sans'", FONT).strip()


def data_uri(svg: str) -> str:
    """The picture as the address of an `<img>`, the one form that an untrusted notebook keeps."""
    return "data:image/svg+xml;base64," + base64.b64encode(svg.encode()).decode("ascii")
