import pytest
from jinja2 import Environment, FileSystemLoader, nodes

from server.compiled import CompiledTemplates
from server.web.frame.filters import FILTERS
from server.web.frame.render import TEMPLATES, templates

TRIMS = {"trim_blocks": True}


class Counting(Environment):
    """Counts what it compiles."""

    compiled = 0

    def compile(self, *given, **named):
        self.compiled += 1
        return super().compile(*given, **named)


def environment(folder, options=TRIMS):
    """What a process that begins anew draws with."""
    compiled = CompiledTemplates(folder, options)
    return Counting(loader=FileSystemLoader(folder), bytecode_cache=compiled, **options)


def drawn(environment):
    return environment.get_template("page.html").render(name="Plum"), environment.compiled


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "page.html").write_text("{% if name %}\nTo {{ name }}{% endif %}")
    return tmp_path


def test_what_one_process_compiled_the_next_takes_up(folder):
    assert [drawn(environment(folder)) for _ in range(2)] == [("To Plum", 1), ("To Plum", 0)]


def test_a_template_that_changed_is_compiled_anew(folder):
    drawn(environment(folder))
    (folder / "page.html").write_text("For {{ name }}")
    assert drawn(environment(folder)) == ("For Plum", 1)


def test_templates_are_compiled_anew_under_other_options(folder):
    drawn(environment(folder))
    assert drawn(environment(folder, {"trim_blocks": False})) == ("\nTo Plum", 1)


def test_a_compiled_template_that_is_damaged_is_made_anew(folder):
    drawn(environment(folder))
    (file,) = (folder / "__pycache__").iterdir()
    file.write_bytes(file.read_bytes()[:60])
    assert [drawn(environment(folder)) for _ in range(2)] == [("To Plum", 1), ("To Plum", 0)]


def test_where_nothing_can_be_written_pages_are_drawn_all_the_same(folder):
    (folder / "__pycache__").write_text("a file, where a folder would be")
    assert [drawn(environment(folder)) for _ in range(2)] == [("To Plum", 1), ("To Plum", 1)]


def test_no_filter_of_ours_is_given_a_constant_whose_answer_would_be_compiled_in():
    constant = [
        f"{path.relative_to(TEMPLATES)}:{each.lineno}"
        for path in sorted(TEMPLATES.rglob("*.html"))
        for each in templates.env.parse(path.read_text()).find_all(nodes.Filter)
        if each.name in FILTERS and is_constant(each, path.name)
    ]
    assert constant == []


def is_constant(node, name):
    try:
        node.as_const(nodes.EvalContext(templates.env, name))
    except nodes.Impossible:
        return False
    return True
