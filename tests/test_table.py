"""A table of cases that is one test still says which of them failed."""

import pytest

from tests.table import table


def test_every_case_that_failed_is_named_and_no_other():
    tried = []

    @table("number, square", [(1, 1), (2, 5), (3, 9), (4, 17)])
    def check(number, square):
        tried.append(number)
        assert number * number == square

    with pytest.raises(AssertionError, match=r"^2 of 4 cases failed\n\n2, 5: .*\n(?s:.*)\n4, 17: "):
        check()
    assert tried == [1, 2, 3, 4]


def test_a_table_without_cases_fails():
    with pytest.raises(AssertionError, match="without cases"):
        table("each", [])(lambda each: None)()


@table("at", [0, 1])
def test_what_is_in_no_column_is_given_as_to_any_test(tmp_path, at):
    (tmp_path / str(at)).touch()
    assert len(list(tmp_path.iterdir())) == at + 1
