"""What a passkey proves, held against what was asked: the one place that knows its library.

The library is loaded where a passkey is first asked for, not with the app.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from fastapi import Request

from server.domain.base.errors import InvalidInput
from server.domain.people.person import Person
from server.settings import Settings
from server.store.people.passkeys import Passkey
from server.web.frame.layers.security import is_ip_address

NO_NAME = (
    "A passkey belongs to a name, and the address of this page is a number. Open the app by its "
    "name."
)
REFUSED = "The passkey was not accepted. Try again, or sign in another way."

UNREADABLE = (ValueError, KeyError, TypeError, IndexError)
"""What its library stumbles over in an answer that no authenticator would give."""


@dataclass(frozen=True)
class Site:
    """Whose passkeys are asked for: a name, and the addresses of pages that may ask."""

    name: str
    origins: tuple[str, ...]


@dataclass(frozen=True)
class PasskeyAsk:
    """What a browser is asked to sign, as JSON for it, and the challenge in it (base64url)."""

    options: dict[str, Any]
    challenge: str


def site_of(request: Request) -> Site:
    """Whose passkeys a request is about. Raises InvalidInput where its address is a number."""
    settings: Settings = request.app.state.settings
    name = request.url.hostname or ""
    if is_ip_address(name):
        raise InvalidInput.of("", NO_NAME)
    own = f"{request.url.scheme}://{request.url.netloc}"
    return Site(name, (own, settings.public_url) if settings.public_url else (own,))


def ask_for_new(site: Site, person: Person, passkeys: Sequence[Passkey]) -> PasskeyAsk:
    """What the browser is asked in order to make a passkey that can sign in by itself."""
    import webauthn
    from webauthn.helpers import base64url_to_bytes, structs

    options = webauthn.generate_registration_options(
        rp_id=site.name,
        rp_name="Ninefifty",
        user_name=person.sign_in,
        user_id=person.id.encode(),
        user_display_name=person.name,
        authenticator_selection=structs.AuthenticatorSelectionCriteria(
            resident_key=structs.ResidentKeyRequirement.REQUIRED,
            user_verification=structs.UserVerificationRequirement.PREFERRED,
        ),
        exclude_credentials=[
            structs.PublicKeyCredentialDescriptor(id=base64url_to_bytes(each.id))
            for each in passkeys
        ],
    )
    return _asked(webauthn.options_to_json(options))


def ask_for_one(site: Site) -> PasskeyAsk:
    """What the browser is asked in order to sign in by whichever passkey it has."""
    import webauthn

    options = webauthn.generate_authentication_options(rp_id=site.name)
    return _asked(webauthn.options_to_json(options))


def new_passkey(
    site: Site,
    credential: Mapping[str, Any],
    challenge: str,
    person_id: str,
    name: str,
    now_ms: int,
) -> Passkey:
    """The passkey that an answer proves was made. Raises InvalidInput."""
    import webauthn
    from webauthn.helpers import bytes_to_base64url

    with _refusing():
        proved = webauthn.verify_registration_response(**_given(site, credential, challenge))
    return Passkey(
        id=bytes_to_base64url(proved.credential_id),
        person_id=person_id,
        name=name,
        public_key=bytes_to_base64url(proved.credential_public_key),
        signs=proved.sign_count,
        made_ms=now_ms,
        used_ms=None,
    )


def signed_by(site: Site, credential: Mapping[str, Any], challenge: str, passkey: Passkey) -> int:
    """How often a passkey signed by now, where an answer proves that it did. Raises InvalidInput.

    One that counts and did not count on was copied, and is refused.
    """
    import webauthn
    from webauthn.helpers import base64url_to_bytes

    with _refusing():
        proved = webauthn.verify_authentication_response(
            **_given(site, credential, challenge),
            credential_public_key=base64url_to_bytes(passkey.public_key),
            credential_current_sign_count=passkey.signs,
        )
    return proved.new_sign_count


def _given(site: Site, credential: Mapping[str, Any], challenge: str) -> dict[str, Any]:
    """An answer, and what it must be an answer to."""
    from webauthn.helpers import base64url_to_bytes

    return {
        "credential": dict(credential),
        "expected_challenge": base64url_to_bytes(challenge),
        "expected_rp_id": site.name,
        "expected_origin": list(site.origins),
    }


@contextmanager
def _refusing() -> Iterator[None]:
    from webauthn.helpers.exceptions import WebAuthnException

    try:
        yield
    except (WebAuthnException, *UNREADABLE) as error:
        raise InvalidInput.of("", REFUSED) from error


def _asked(options: str) -> PasskeyAsk:
    read = json.loads(options)
    return PasskeyAsk(read, read["challenge"])
