"""Drives a Firefox over WebDriver BiDi: JSON over a WebSocket that Firefox opens by itself, with no driver to fetch.

What is looked for is found by role and name, as someone who listens finds it; keys are real keys.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from itertools import count
from pathlib import Path
from typing import Any

import websocket

PATIENCE = 120.0  # s; a slow computer opens JupyterLab slowly
# Keys that are no letters, as WebDriver numbers them.
KEYS = {
    "Tab": "\ue004",
    "Enter": "\ue007",
    "Control": "\ue009",
    "Escape": "\ue00c",
    "PageUp": "\ue00e",
    "PageDown": "\ue00f",
    "ArrowLeft": "\ue012",
    "ArrowUp": "\ue013",
    "ArrowRight": "\ue014",
    "ArrowDown": "\ue015",
}
# A result as it travels: an element as itself, all else as text.
KEPT = "(told => told instanceof Element ? told : JSON.stringify(told ?? null))"
# By what they say they are; an element that has no need to say so, by what it is.
FIND = """(role, name) => [...document.querySelectorAll(`[role="${role}"], ${role === 'textbox' ? 'input' : role}`)]
    .find(one => one.getClientRects().length && (one.ariaLabel ?? one.textContent).trim() === name)"""
BETWEEN = 40  # ms between two presses
# No first-run pages, and nothing asked of the network but what the page itself asks.
QUIET = {
    "app.normandy.enabled": False,
    "app.update.disabledForTesting": True,
    "browser.aboutwelcome.enabled": False,
    "browser.shell.checkDefaultBrowser": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "toolkit.telemetry.enabled": False,
    "ui.prefersReducedMotion": 1,
}


def program() -> str | None:
    """The path of a Firefox; None where there is none."""
    return shutil.which("firefox-esr") or shutil.which("firefox")


class Firefox:
    """The page that a running Firefox shows."""

    def __init__(self, line: websocket.WebSocket) -> None:
        self._line, self._ids = line, count(1)
        self.ask("session.new", capabilities={})
        self.page = self.ask("browsingContext.getTree")["contexts"][0]["context"]

    def ask(self, method: str, **params: Any) -> dict[str, Any]:
        """Send a command and give what it brings back; what Firefox refuses is an AssertionError."""
        number = next(self._ids)
        self._line.send(json.dumps({"id": number, "method": method, "params": params}))
        while (answer := json.loads(self._line.recv())).get("id") != number:
            pass  # an event that nobody waits for
        assert answer["type"] == "success", f"{method}: {answer.get('error')}: {answer.get('message')}"
        return answer["result"]

    def evaluate(self, function: str, *given: Any) -> Any:
        """What a function in JavaScript gives back: anything that JSON can hold, or an element of the page."""
        told = self.ask(
            "script.callFunction",
            functionDeclaration=f"async (...given) => kept(await ({function})(...given))".replace("kept", KEPT),
            arguments=[one if isinstance(one, dict) else {"type": "string", "value": one} for one in given],
            awaitPromise=True,
            target={"context": self.page},
        )
        assert told["type"] == "success", f"{function}: {told.get('exceptionDetails', {}).get('text')}"
        result = told["result"]
        return {"sharedId": result["sharedId"]} if result["type"] == "node" else json.loads(result["value"])

    def wait(self, function: str, *given: Any, patience: float = PATIENCE) -> Any:
        """Ask until the function gives something that counts as true, and give that."""
        until = time.monotonic() + patience
        while not (told := self.evaluate(function, *given)):
            assert time.monotonic() < until, f"after {patience} s still nothing: {function} {given}"
            time.sleep(0.05)
        return told

    def find(self, role: str, name: str) -> dict[str, Any]:
        """The first to be seen of this role and this whole name."""
        return self.wait(FIND, role, name)

    def focus(self, node: dict[str, Any]) -> None:
        self.evaluate("node => node.focus()", node)

    def press(self, *keys: str) -> None:
        """Press keys one after the other, as fast as a key that is held: "ArrowLeft", "a", "Control+s"."""
        for key in keys:
            held = [KEYS.get(part, part) for part in key.split("+")]
            moves = [{"type": "keyDown", "value": one} for one in held]
            moves += [{"type": "keyUp", "value": one} for one in reversed(held)]
            moves.append({"type": "pause", "duration": BETWEEN})
            actions = [{"type": "key", "id": "keys", "actions": moves}]
            self.ask("input.performActions", context=self.page, actions=actions)


@contextmanager
def opened(folder: Path, address: str) -> Iterator[Firefox]:
    """A Firefox without a window, with an empty profile in `folder`, that has gone to an address.

    The address stands in its command, as where the workbook opens it: sent there later, Firefox leaves the focus in
    its own address bar, and the page has none.
    """
    profile = folder / "profile"
    profile.mkdir(parents=True)
    lines = [f"user_pref({json.dumps(name)}, {json.dumps(value)});\n" for name, value in QUIET.items()]
    (profile / "user.js").write_text("".join(lines))
    said = folder / "firefox.txt"
    words = [program(), "--headless", "--profile", str(profile), "--no-remote", "--remote-debugging-port=0", address]
    with said.open("w") as screen, subprocess.Popen(words, stdout=screen, stderr=screen) as process:
        try:
            door = f"{_address(said, process)}/session"
            with closing(websocket.create_connection(door, timeout=PATIENCE, suppress_origin=True)) as line:
                yield Firefox(line)
        finally:
            process.terminate()


def _address(said: Path, process: subprocess.Popen[bytes]) -> str:
    """Where Firefox listens, once it has said so."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until and process.poll() is None:
        if found := re.search(r"BiDi listening on (ws://\S+)", said.read_text()):
            return found[1]
        time.sleep(0.1)
    raise AssertionError(f"Firefox did not start:\n{said.read_text()}")
