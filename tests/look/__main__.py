"""python -m tests.look [FOLDER] [--only WORDS] [--paper]: every page and state as pictures.

Each at three sizes, as a person meets it: `runs-1280.png`. With `--paper` also as PDF on A4 and
Letter. Besides each picture it prints how many screens the page is high. Look at them.
"""

import argparse
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import Page, sync_playwright

from server.bootstrap import find_chromium
from tests.browser.chromium import ARGUMENTS, HOST
from tests.browser.desk import Desk
from tests.browser.states import STATES, State, laid_out
from tests.owner import as_owner
from tests.real_server import RealServer

SIZES = ((1280, 800), (800, 1280), (360, 640))
PAPERS = ("A4", "Letter")
SETTLED_MS = 400
STAGE = {
    "stage before the start": State("{waiting}/stage"),
    "stage under way": State("{started}/stage"),
    "stage after the end": State("{over}/stage"),
}


def main() -> None:
    """Write the pictures that are asked for."""
    parser = argparse.ArgumentParser(prog="python -m tests.look", description=__doc__)
    parser.add_argument("folder", nargs="?", default="looked-at", type=Path)
    parser.add_argument("--only", default="", help="states with these words in their name")
    parser.add_argument("--paper", action="store_true", help="pages as PDF as well")
    options = parser.parse_args()
    options.folder.mkdir(parents=True, exist_ok=True)
    states = {name: at for name, at in (STAGE | STATES).items() if options.only in name}
    with TemporaryDirectory() as data, sync_playwright() as playwright:
        server = RealServer(Path(data))
        server.start()
        browser = playwright.chromium.launch(executable_path=find_chromium(), args=list(ARGUMENTS))
        try:
            with Desk(server.url) as desk:
                places = laid_out(desk)
            for width, height in SIZES:
                context = browser.new_context(
                    viewport={"width": width, "height": height},
                    base_url=f"http://{HOST}:{server.port}",
                    **as_owner(HOST),
                )
                for line in looked_at(context.new_page(), states, places, options):
                    print(f"{line} at {width} px", flush=True)
                context.close()
        finally:
            browser.close()
            server.stop()


def looked_at(
    page: Page, states: dict[str, State], places: dict[str, str], options: argparse.Namespace
) -> Iterator[str]:
    """Write each state as a picture; yields a line for each."""
    assert page.viewport_size is not None
    width, screen = page.viewport_size["width"], page.viewport_size["height"]
    for name, state in states.items():
        try:
            state.show(page, places)
        except Exception as error:  # A state that cannot be reached must not end the round.
            yield f"{name}: NOT REACHED ({str(error).splitlines()[0]})"
            continue
        page.wait_for_timeout(SETTLED_MS)
        stem = name.replace(" ", "-").replace(",", "")
        page.screenshot(path=options.folder / f"{stem}-{width}.png")
        if options.paper and width == SIZES[0][0]:
            for paper in PAPERS:
                page.pdf(path=options.folder / f"{stem}-{paper}.pdf", format=paper)
        height = page.evaluate("document.documentElement.scrollHeight")
        yield f"{name}: {height / screen:.1f} screens"


if __name__ == "__main__":
    main()
