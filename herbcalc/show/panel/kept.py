"""Floor 5. What a person keeps from a panel: settings under names of their own, and figures of their own batch."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from herbcalc import person
from herbcalc.person import batches
from herbcalc.show.look import Control, as_setting
from herbcalc.show.panel.dials import button
from herbcalc.show.story import Scene

MOST = 8  # own settings in one lesson: more than that and nobody finds the one wanted


class Kept(widgets.VBox):
    """The boxes for keeping and using. Files that cannot be read or written raise `person.NotKept`, a sentence."""

    def __init__(
        self, lesson: str, controls: list[Control], start: Any, home: Path, press: Callable[..., None]
    ) -> None:
        self._lesson, self._start, self._home = lesson, start, home
        self._batch = {c.name: c.batch for c in controls if c.batch}
        self._told = {c.name for c in controls if c.told}
        self.name = widgets.Text(description="Name for it", placeholder="my jar", continuous_update=False)
        self.name.add_class("herb-name")
        keep = button("Keep this setting", lambda: press(self.keep))
        let_go = button("Delete this setting", lambda: press(self.let_go))
        rows = [widgets.HBox([self.name, keep, let_go])]
        if self._batch:
            to_batch = button("Put these figures in my batch", lambda: press(self.to_batch))
            from_batch = button("Use my batch here", lambda: press(self.from_batch))
            rows.append(widgets.HBox([to_batch, from_batch]))
        for row in rows:
            row.add_class("herb-bar-row")
        super().__init__(rows)

    def scenes(self) -> tuple[list[Scene], list[str]]:
        """The person's own settings of this lesson, and a sentence for each figure that no longer fits."""
        own, aside = [], []
        for row in person.settings(self._lesson, self._home):
            values = row.get("setting")
            setting, told = as_setting(type(self._start), values if isinstance(values, dict) else {}, self._start)
            own.append(Scene(str(row.get("name", "my setting"))[:60], setting))
            aside += told
        return own, aside

    def keep(self, setting: Any, _: Scene | None) -> tuple[str, Any]:
        """Keep the setting under the name typed; one of the same name is replaced."""
        name = self.name.value.strip()[:60] or "my setting"
        rows = person.settings(self._lesson, self._home)
        kept = {key: value for key, value in dataclasses.asdict(setting).items() if key not in self._told}
        new = {"name": name, "setting": kept}
        for n, row in enumerate(rows):
            if row.get("name") == name:
                rows[n] = new
                break
        else:
            if len(rows) >= MOST:
                return f"{MOST} settings are kept here already. Let one go, or use one of their names again.", None
            rows.append(new)
        person.save_settings(self._lesson, rows, self._home)
        return f'Kept as "{name}". It now stands at the end of the scenes.', None

    def let_go(self, _: Any, scene: Scene | None) -> tuple[str, Any]:
        """Take one of the person's own settings out of the list."""
        rows = person.settings(self._lesson, self._home)
        left = [row for row in rows if scene is None or row.get("name") != scene.name]
        if scene is None or len(left) == len(rows):
            return "Only a setting that you kept yourself can go. Choose it under Scene first.", None
        person.save_settings(self._lesson, left, self._home)
        return f'"{scene.name}" is gone.', None

    def to_batch(self, setting: Any, _: Scene | None) -> tuple[str, Any]:
        """Write the figures of this setting that belong to a batch into the batch that the person works on."""
        batches.save_figures({key: getattr(setting, name) for name, key in self._batch.items()}, self._home)
        return f"{self._mine('Your batch')} now has these figures: {', '.join(self._batch.values())}.", None

    def from_batch(self, setting: Any, _: Scene | None) -> tuple[str, Any]:
        """The setting with the figures of the batch that the person works on."""
        held = batches.figures(self._home)
        found = {name: held[key] for name, key in self._batch.items() if key in held}
        if not found:
            return "Your batch has no figures for this lesson yet. Put some in first.", None
        new, aside = as_setting(type(setting), found, setting)
        return " ".join([f"These figures are from {self._mine('your batch')}.", *aside]), new

    def _mine(self, words: str) -> str:
        """The batch that is worked on, by its name."""
        return f'{words} "{batches.current(self._home)}"'
