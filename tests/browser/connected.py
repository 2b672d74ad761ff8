"""A page is acted on once its own scripts are connected, as a person does who sees it first.

A page asks for the scripts of its room when it is there, and says so as long as they are coming.
The browser's load event does not wait for them. A test that looks at that itself opens the page
with `wait_until="commit"`.
"""

CONNECTED = "html:not([data-connecting])"


def act_once_connected(page) -> None:
    """Let every way to open a page, and every press of a key, wait for the page's own scripts."""

    def wait() -> None:
        page.wait_for_selector(CONNECTED, state="attached")

    for name in ("goto", "reload", "go_back", "go_forward"):
        setattr(page, name, _then(getattr(page, name), wait))
    for name in ("press", "type"):
        setattr(page.keyboard, name, _after(getattr(page.keyboard, name), wait))


def _then(open_page, wait):
    def opened(*given, **options):
        answer = open_page(*given, **options)
        if options.get("wait_until") != "commit":
            wait()
        return answer

    return opened


def _after(press, wait):
    def pressed(*given, **options):
        wait()
        press(*given, **options)

    return pressed
