"""Floor 5. What stays in a saved notebook of something live: a short name, and words to read without it."""

from __future__ import annotations

from typing import Any


class Stored:
    """Put before a widget class; gives what stands in the file beside the live view.

    `stored_plain` is the short name (`text/plain`), `stored_html` what a reader sees without a kernel.
    """

    stored_plain = ""
    stored_html = ""

    def _repr_mimebundle_(self, **kwargs: Any) -> dict[str, Any]:
        data = super()._repr_mimebundle_(**kwargs) or {}  # type: ignore[misc]
        if isinstance(data, tuple):  # with what is said about the data, which is nothing
            data, _ = data
        data["text/plain"] = self.stored_plain
        data["text/html"] = self.stored_html
        return data
