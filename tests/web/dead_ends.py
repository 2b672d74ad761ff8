"""Walks every page that somebody can reach, and finds what on it they would be refused."""

import re

from tests.web.html import Page

MOST_PAGES = 120
"""Enough for one page of each kind; more would be the same once more."""


def kind_of(address):
    """Pages of one kind differ in ids alone, and in what of them is open."""
    path, _, asked = address.partition("?")
    names = "&".join(sorted(re.findall(r"(?:^|&)(\w+)=", asked)))
    return re.sub(r"[^/]*\d[^/]*", "#", path) + "?" + names


def offered_on(page):
    """What a reader may press: links, and the forms that are not shut."""
    for link in page.all("a[href^='/']"):
        yield "GET", link.get("href").partition("#")[0]
    for form in page.all("form[method='post']"):
        buttons = form.cssselect("button:not([type='button'])")
        if form.get("data-shut") is None and buttons:
            yield "POST", form.get("action").partition("#")[0]
            elsewhere = (each.get("formaction") for each in buttons)
            yield from (("POST", each) for each in elsewhere if each)


def walk(browser, door):
    """Every page that can be reached from the first, and what on them is refused."""
    to_read, seen, refused = ["/"], set(), []
    while to_read and len(seen) < MOST_PAGES:
        address = to_read.pop(0)
        answer = browser.get(address, follow_redirects=True)
        if "html" not in answer.headers.get("content-type", ""):
            continue
        for method, url in offered_on(Page(answer)):
            if (method, kind_of(url)) in seen or not url.startswith("/"):
                continue
            seen.add((method, kind_of(url)))
            status = door.request(method, url).status_code
            if status >= 400:
                refused.append((address, method, url, status))
            elif method == "GET":
                to_read.append(url)
    return refused
