"""What a page comes to on paper."""

import re


def sheets_of(page, paper: str = "A4") -> int:
    """How many sheets of paper the page takes."""
    pdf = page.pdf(format=paper, prefer_css_page_size=True)
    return len(re.findall(rb"/MediaBox", pdf))
