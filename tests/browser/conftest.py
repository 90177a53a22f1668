"""A real Chromium against a real service. Pictures of the page are kept under ``out/review-page``."""

import base64
from pathlib import Path

import pytest
from selenium import webdriver
from selenium.webdriver.chrome.service import Service as Driver

from browser.reviewer import Reviewer
from changeout.application.service import Service
from serving import serving

PICTURES = Path(__file__).parents[2] / "out" / "review-page"
ARGUMENTS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-dev-shm-usage",
    "--hide-scrollbars",
    "--force-color-profile=srgb",
)


@pytest.fixture(scope="session")
def examples():
    return Service.load()


@pytest.fixture(scope="session")
def url(tmp_path_factory):
    with serving(tmp_path_factory.mktemp("served"), "--threads", "4") as running:
        yield running.url


def chromium(*, scripts=True):
    options = webdriver.ChromeOptions()
    options.binary_location = "/usr/bin/chromium"
    for argument in ARGUMENTS:
        options.add_argument(argument)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    if not scripts:
        options.add_experimental_option("prefs", {"profile.managed_default_content_settings.javascript": 2})
    driver = webdriver.Chrome(options=options, service=Driver("/usr/bin/chromedriver"))
    driver.set_script_timeout(60)
    return driver


@pytest.fixture(scope="session")
def driver():
    running = chromium()
    yield running
    running.quit()


@pytest.fixture(scope="session")
def driver_without_scripts():
    running = chromium(scripts=False)
    yield running
    running.quit()


@pytest.fixture
def reviewer(driver, url):
    """Somebody at the page, in a window of its own, on a laptop in daylight."""
    driver.switch_to.new_window("tab")
    own = driver.current_window_handle
    driver.get_log("browser")
    driver.get_log("performance")
    sitting = Reviewer(driver, url)
    sitting.screen(1280, 800)
    sitting.light("light")
    yield sitting
    for handle in driver.window_handles[1:]:
        driver.switch_to.window(handle)
        driver.close()
    assert own not in driver.window_handles
    driver.switch_to.window(driver.window_handles[0])


@pytest.fixture
def keep(reviewer):
    """Keeps a picture of what the reviewer sees."""

    def kept(name, *, whole=False):
        PICTURES.mkdir(parents=True, exist_ok=True)
        shot = reviewer.devtools("Page.captureScreenshot", format="png", captureBeyondViewport=whole)
        (PICTURES / f"{name}.png").write_bytes(base64.b64decode(shot["data"]))

    return kept
