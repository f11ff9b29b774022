"""Firefox and WebKitGTK for the long tests: as little as these need, both by one interface.

Firefox takes the commands of WebDriver BiDi (W3C) by itself; WebKitGTK comes with a driver of
WebDriver (W3C), for which selenium is the client, and shows its window on a display in memory.
"""

import json
import os
import re
import subprocess
import time
import warnings
from abc import ABC, abstractmethod
from contextlib import ExitStack
from pathlib import Path
from typing import Any

ARROW, BACKSPACE = "\ue014", "\ue003"  # right; WebDriver, section 17.4.2
MINI_BROWSER = "*/webkit2gtk-4.*/MiniBrowser"
PATIENCE = 20.0  # seconds


class Driven(ABC):
    """A browser with one page, driven from outside."""

    @abstractmethod
    def go(self, address: str) -> None:
        """Open an address and wait until it is there."""

    @abstractmethod
    def look(self, script: str) -> Any:  # noqa: ANN401 (whatever the page holds)
        """Work out an expression in the page."""

    @abstractmethod
    def type(self, keys: str) -> None:
        """Press keys, one after another, where the focus is."""

    @abstractmethod
    def press(self, selector: str) -> None:
        """Press an element with the mouse."""

    @abstractmethod
    def back(self) -> None:
        """Go back in the history."""

    @abstractmethod
    def reload(self) -> None:
        """Load the page again."""

    @abstractmethod
    def close(self) -> None:
        """End the browser."""

    def focus(self, selector: str) -> None:
        """Put the focus on an element, with all of its text chosen, if it has any."""
        self.look(f"(e => (e.focus(), e.select?.(), true))(document.querySelector({selector!r}))")

    def until(self, script: str) -> None:
        """Wait until an expression is true in the page, which may still be loading."""
        end = time.monotonic() + PATIENCE
        tried = f"(() => {{ try {{ return Boolean({script}); }} catch {{ return false; }} }})()"
        while not self.look(tried):
            assert time.monotonic() < end, f"never: {script}"
            time.sleep(0.05)

    def leave(self, selector: str) -> None:
        """Follow a link, and wait for the page that it leads to."""
        address = self.look(f"document.querySelector({selector!r}).href")
        self.look(f"(document.querySelector({selector!r}).click(), true)")
        self.until(f"location.href === {address!r} && document.readyState === 'complete'")

    def return_(self) -> None:
        """Go back, and wait until another page is there."""
        here = ["about:blank", self.look("location.href")]
        self.back()
        self.until(f"!{here}.includes(location.href) && document.readyState === 'complete'")


class Firefox(Driven):
    """Firefox without a window."""

    def __init__(self, profile: Path) -> None:
        from websocket import create_connection  # noqa: PLC0415 (of the long tests alone)

        command = ["firefox-esr", "--headless", "--no-remote", "--remote-debugging-port", "0"]
        self.process = subprocess.Popen(
            [*command, "--profile", str(profile), "about:blank"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
        )
        address = ""
        while not address:
            line = self.process.stderr.readline()
            assert line, "Firefox ended"
            address = "".join(re.findall(r"BiDi listening on (ws://\S+)", line))
        self.socket = create_connection(f"{address}/session", suppress_origin=True, timeout=60)
        self.number = 0
        self.said: list[str] = []
        self.ask("session.new", capabilities={})
        self.ask("session.subscribe", events=["log.entryAdded"])
        self.page = self.ask("browsingContext.getTree")["contexts"][0]["context"]

    def ask(self, method: str, **given: object) -> Any:  # noqa: ANN401 (as the command has it)
        """Give a command and wait for its answer; note what pages say meanwhile."""
        self.number += 1
        self.socket.send(json.dumps({"id": self.number, "method": method, "params": given}))
        while (answer := json.loads(self.socket.recv())).get("id") != self.number:
            if answer.get("method") == "log.entryAdded":
                self.said.append(answer["params"]["text"])
        assert answer["type"] == "success", answer
        return answer["result"]

    def go(self, address: str) -> None:
        """Open an address and wait until it is there."""
        self.ask("browsingContext.navigate", context=self.page, url=address, wait="complete")

    def look(self, script: str) -> Any:  # noqa: ANN401
        """Work out an expression in the page."""
        found = self.ask(
            "script.evaluate",
            expression=f"JSON.stringify({script})",
            target={"context": self.page},
            awaitPromise=False,
        )
        assert found["type"] == "success", found
        return json.loads(found["result"].get("value", "null"))

    def type(self, keys: str) -> None:
        """Press keys, one after another, where the focus is."""
        moves = [{"type": kind, "value": key} for key in keys for kind in ("keyDown", "keyUp")]
        source = {"type": "key", "id": "keys", "actions": moves}
        self.ask("input.performActions", context=self.page, actions=[source])

    def press(self, selector: str) -> None:
        """Press an element with the mouse: without a window, keys press no buttons."""
        middle = (
            "((e) => (e.scrollIntoView({ block: 'center' }), e.getBoundingClientRect()))"
            f"(document.querySelector({selector!r}))"
        )
        box = self.look(middle)
        place = {"x": int(box["x"] + box["width"] / 2), "y": int(box["y"] + box["height"] / 2)}
        moves = [{"type": "pointerMove", **place}]
        moves += [{"type": kind, "button": 0} for kind in ("pointerDown", "pointerUp")]
        source = {"type": "pointer", "id": "mouse", "actions": moves}
        self.ask("input.performActions", context=self.page, actions=[source])

    def back(self) -> None:
        """Go back in the history."""
        self.ask("browsingContext.traverseHistory", context=self.page, delta=-1)

    def reload(self) -> None:
        """Load the page again."""
        self.ask("browsingContext.reload", context=self.page, wait="complete")

    def printed(self) -> str:
        """Print the page, as base64 of a PDF."""
        return str(self.ask("browsingContext.print", context=self.page)["data"])

    def close(self) -> None:
        """End the browser."""
        self.socket.close()
        self.process.terminate()
        self.process.wait(timeout=30)
        self.process.stderr.close()


class WebKit(Driven):
    """WebKitGTK's small browser, on a display in memory."""

    def __init__(self) -> None:
        from selenium.webdriver import WebKitGTK  # noqa: PLC0415 (of the long tests alone)
        from selenium.webdriver.webkitgtk.options import Options  # noqa: PLC0415
        from selenium.webdriver.webkitgtk.service import Service  # noqa: PLC0415

        reading, writing = os.pipe()
        display = subprocess.Popen(
            ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1400x1000x24"],
            pass_fds=[writing],
            stderr=subprocess.DEVNULL,
        )
        os.close(writing)
        with ExitStack() as ending, os.fdopen(reading) as told:
            ending.callback(display.wait)
            ending.callback(display.terminate)
            screen = {**os.environ, "DISPLAY": f":{told.readline().strip()}"}
            options = Options()
            [options.binary_location] = map(str, Path("/usr/lib").glob(MINI_BROWSER))
            options.add_argument("--automation")
            service = Service("/usr/bin/WebKitWebDriver", env=screen)
            with warnings.catch_warnings():  # selenium calls what it no longer wants called
                warnings.simplefilter("ignore", DeprecationWarning)
                self.driver = WebKitGTK(options=options, service=service)
            ending.callback(self.driver.quit)
            self.ending = ending.pop_all()

    def go(self, address: str) -> None:
        """Open an address and wait until it is there."""
        self.driver.get(address)

    def look(self, script: str) -> Any:  # noqa: ANN401
        """Work out an expression in the page."""
        found = self.driver.execute_script(f"return JSON.stringify({script})")
        return None if found is None else json.loads(found)

    def type(self, keys: str) -> None:
        """Press keys, one after another, where the focus is."""
        from selenium.webdriver import ActionChains  # noqa: PLC0415

        ActionChains(self.driver).send_keys(keys).perform()

    def press(self, selector: str) -> None:
        """Press an element with the mouse."""
        self.driver.find_element("css selector", selector).click()

    def back(self) -> None:
        """Go back in the history."""
        self.driver.back()

    def reload(self) -> None:
        """Load the page again."""
        self.driver.refresh()

    def close(self) -> None:
        """End the browser."""
        self.ending.close()
