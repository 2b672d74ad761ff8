"""Reading pages as a browser would: parsed, and asked by selector."""

from lxml import html


class Page:
    """An answer in HTML."""

    def __init__(self, response):
        self.status = response.status_code
        self.is_body = "<html" not in response.text
        read = html.fragment_fromstring if self.is_body else html.document_fromstring
        self.root = read(response.text, "main") if self.is_body else read(response.text)

    def all(self, selector):
        return self.root.cssselect(selector)

    def one(self, selector):
        (found,) = self.all(selector)
        return found

    def texts(self, selector):
        return [text_of(each) for each in self.all(selector)]

    def text(self, selector):
        return text_of(self.one(selector))

    def form(self, action):
        """The form that is sent to an address."""
        (found,) = [each for each in self.all("form") if each.get("action") == action]
        return found

    def sent_by(self, action):
        """What a browser sends from a form that nobody has touched, without its buttons."""
        form = self.form(action)
        areas = {area.get("name") for area in form.cssselect("textarea")}
        # HTML drops a line end right after <textarea>; the parser does not.
        return {
            name: value.removeprefix("\n") if name in areas else value
            for name, value in form.form_values()
            if not form.cssselect(f'button[name="{name}"]')
        }

    def fault(self, name, form=None):
        """The message that a field is described by, where it is marked as invalid."""
        where = self.root if form is None else self.form(form)
        (field,) = where.cssselect(f'[name="{name}"][aria-invalid="true"]')
        said = [self.root.get_element_by_id(each) for each in field.get("aria-describedby").split()]
        return " ".join(
            text_of(each).removeprefix("▲ ") for each in said if "fault" in each.classes
        )

    def typed(self, name, form=None):
        """What stands in a field."""
        where = self.root if form is None else self.form(form)
        (field,) = where.cssselect(f'[name="{name}"]')
        # HTML drops a line end right after <textarea>; the parser does not.
        return (field.value or "").removeprefix("\n") if field.tag == "textarea" else field.value


def text_of(element):
    return " ".join(element.text_content().split())
