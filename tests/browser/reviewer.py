"""What a plan reviewer does at the page: keys and clicks, and what is seen after them."""

import base64
import json
from importlib.resources import files

from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import WebDriverWait

AXE = (files("axe_core_python") / "axe.min.js").read_text("utf-8")
PATIENCE_S = 30


class Reviewer:
    """Somebody at the page in a browser."""

    def __init__(self, driver, url):
        self.driver = driver
        self.url = url

    # -- the browser

    def devtools(self, command, **arguments):
        return self.driver.execute_cdp_cmd(command, arguments)

    def script(self, text, *arguments):
        return self.driver.execute_script(text, *arguments)

    def screen(self, width, height):
        self.devtools(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False
        )

    def light(self, scheme, media=""):
        feature = {"name": "prefers-color-scheme", "value": scheme}
        self.devtools("Emulation.setEmulatedMedia", media=media, features=[feature])

    def wait(self, condition):
        return WebDriverWait(self.driver, PATIENCE_S, poll_frequency=0.05).until(lambda _: condition())

    def printed(self):
        """The page as a PDF, on the paper that its style asks for."""
        made = self.devtools("Page.printToPDF", preferCSSPageSize=True, printBackground=False)
        return base64.b64decode(made["data"])

    def axe(self):
        """What axe finds wrong, with the elements."""
        self.script(AXE)
        found = self.driver.execute_async_script(
            "const done = arguments[0]; axe.run(document, {resultTypes: ['violations']}).then(done);"
        )
        return [
            (violation["id"], node["html"][:200], node["failureSummary"][:300])
            for violation in found["violations"]
            for node in violation["nodes"]
        ]

    def requested(self):
        """Every address that was asked for since the window was opened."""
        messages = [json.loads(entry["message"])["message"] for entry in self.driver.get_log("performance")]
        return [m["params"]["request"]["url"] for m in messages if m["method"] == "Network.requestWillBeSent"]

    def complaints(self):
        """What the browser complained of, answers that refuse a document apart."""
        entries = self.driver.get_log("browser")
        return [e["message"] for e in entries if "the server responded with a status of 4" not in e["message"]]

    # -- the page

    def open(self, path="/review"):
        self.driver.get(f"{self.url}{path}")
        # Replaced by nothing but a page that is loaded anew.
        self.script("window.stayed = true")

    @property
    def stayed(self):
        return self.script("return window.stayed === true")

    def find(self, selector):
        return self.driver.find_element(By.CSS_SELECTOR, selector)

    def all(self, selector):
        return self.driver.find_elements(By.CSS_SELECTOR, selector)

    def text(self, selector):
        return self.find(selector).text

    @property
    def verdict(self):
        return self.text("#verdict-title")

    @property
    def document(self):
        return self.script("return document.getElementById('document').value")

    @property
    def focused(self):
        return self.script("return document.activeElement.id || document.activeElement.tagName")

    @property
    def state(self):
        return self.script("return document.getElementById('main').dataset.state")

    def type(self, *keys):
        """Press keys where the focus is."""
        self.driver.switch_to.active_element.send_keys(*keys)

    def insert(self, text):
        """Put a text in where the focus is, as from the clipboard."""
        self.devtools("Input.insertText", text=text)

    def settled(self, act):
        """Do something that has the document checked, and wait until the answer is on the page."""
        self.script("document.getElementById('main').dataset.old = '1'")
        act()
        self.wait(
            lambda: self.script(
                "const m = document.getElementById('main'); return !!m && !m.dataset.old && !document.body.classList.contains('busy')"
            )
        )

    def check(self, document):
        """Open the page, put a document in and check it, with keys alone."""
        self.open()
        self.wait(lambda: self.focused == "document")
        self.insert(document)
        self.settled(lambda: self.type(Keys.CONTROL, Keys.ENTER))

    def lit(self):
        return [int(one.get_attribute("id").removeprefix("line-")) for one in self.all(".lines .lit")]

    def active(self):
        return [one.get_attribute("id") for one in self.all(".active")]

    def copied(self):
        return self.driver.execute_async_script("navigator.clipboard.readText().then(arguments[0])")
