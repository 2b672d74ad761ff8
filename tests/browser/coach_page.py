"""The page for watching as a test works it, in a browser context of its own."""

import re

from tests.browser.desk import Desk

PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True}


def code_for(desk: Desk, run_id: str) -> str:
    """Open a run to watchers; returns the code to join it."""
    page = desk.post(f"/runs/{run_id}/watchers").text
    return re.search(r'id="code">([^<]+)<', page)[1]


class CoachPage:
    """One open page for watching."""

    def __init__(self, page, address: str, run_id: str) -> None:
        self.page = page
        self.run_id = run_id
        self._address = address

    def join(self, code: str, name: str = "Ada") -> "CoachPage":
        """Join by the code, as a person does who scanned it."""
        self.page.goto(f"{self._address}/join#{code}")
        self.page.get_by_label("Your name").fill(name)
        self.page.get_by_role("button", name="Watch").click()
        self.page.wait_for_url("**/watch")
        return self

    def part(self, name: str):
        return self.page.locator(f"[data-part={name}]")

    def tick(self, claim: str, verdict: str) -> None:
        """Touch a verdict on the claim of that label."""
        row = self.page.locator(".claim", has=self.page.get_by_text(claim, exact=True))
        row.get_by_role("button", name=verdict).first.click()

    def incident(self, words: str) -> None:
        """Mark what went wrong, on a phone."""
        self.part("incidents-button").click()
        self.page.get_by_role("button", name=words, exact=True).click()

    def write(self, text: str) -> None:
        """Write a note."""
        self.part("note").fill(text)
        self.page.get_by_role("button", name="Add").click()

    def remarks(self) -> list[str]:
        """The words of all remarks, the latest first."""
        return self.page.locator(".remark-words p:first-child").all_inner_texts()

    def figures(self) -> dict[str, object]:
        """What is shown beside the clock: seconds left in the slot, pace, finish, time left."""
        minutes, seconds = map(int, self.part("slot-digits").inner_text().split(":"))
        names = ("pace-digits", "pace-word", "finish", "now-left")
        return {"slot": minutes * 60 + seconds} | {n: self.part(n).inner_text() for n in names}

    def seconds(self) -> float | None:
        """What the clock shows, in seconds."""
        shown = re.fullmatch(r"(\d+):(\d\d)", self.part("elapsed").inner_text())
        return int(shown[1]) * 60 + int(shown[2]) if shown else None
