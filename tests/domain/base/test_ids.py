import pytest
from pydantic import TypeAdapter, ValidationError

from server.domain.base.ids import Id


@pytest.mark.parametrize("text", ["a", "A-z_0", "x" * 64])
def test_an_id_is_letters_digits_and_dashes(text):
    assert TypeAdapter(Id).validate_python(text) == text


@pytest.mark.parametrize("text", ["", "x" * 65, "a b", "a/b", "ä", "a\n"])
def test_what_could_mean_more_in_an_address_is_no_id(text):
    with pytest.raises(ValidationError):
        TypeAdapter(Id).validate_python(text)
