"""What a page loads at once: its sheets in one answer, and the modules that its room needs."""

import re

from server.settings import ROOT
from server.web.frame.bundles import SHEETS, modules_behind
from tests.table import table
from tests.web.frame.test_pages import PAGES, ROUTINE, shown

ROOMS = (ROOT / "static/js/frame/rooms.js").read_text("utf-8")
ROW = re.compile(r'^  \["(.+?)", \(\) => import\("\.\./?(.+?)"\)', re.MULTILINE)
ROW_HERE = re.compile(r'^  \["(.+?)", \(\) => import\("\./(.+?)"\)', re.MULTILINE)


def rows():
    """Element -> address of the module that it needs."""
    here = [(element, f"frame/{name}") for element, name in ROW_HERE.findall(ROOMS)]
    found = [*ROW.findall(ROOMS), *here]
    assert len(found) == ROOMS.count("import(")
    return {element: f"/static/js/{name}" for element, name in found}


@table("path", PAGES)
def test_a_page_loads_the_modules_that_it_needs_by_itself(demo, path):
    page = shown(demo, path)
    needed = {module for element, module in rows().items() if page.all(element)}
    assert needed <= {each.get("src") for each in page.all("head script")}


def test_what_the_modules_of_a_page_import_is_fetched_with_them(demo):
    page = shown(demo, f"{ROUTINE}/script")
    fetched = {each.get("href") for each in page.all("head link[rel=modulepreload]")}
    assert fetched >= {"/static/js/frame/saving.js", "/static/js/frame/ask.js"}
    assert "/static/js/script/rail.js" in fetched  # editor -> panes -> rail
    for address in fetched:
        assert set(modules_behind(address.removeprefix("/static/js/"))) <= fetched


def test_a_sheet_of_several_files_is_one_answer_in_their_order(demo):
    for name, files in SHEETS.items():
        answer = demo.get(f"/static/{name}")
        assert answer.headers["content-type"] == "text/css; charset=utf-8"
        texts = [(ROOT / "static" / each).read_text("utf-8") for each in files]
        assert answer.text == "\n".join(texts)
        again = demo.get(f"/static/{name}", headers={"If-None-Match": answer.headers["etag"]})
        assert again.status_code == 304
