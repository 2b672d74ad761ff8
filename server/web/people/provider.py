"""An organisation's own sign-in (OpenID Connect): what it is asked, and what it answers.

Only here the app asks another host, because a setting names it. Its libraries are loaded when it
is first asked.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from server.domain.base.errors import InvalidInput
from server.settings import Settings

SIGNED_WITH = ("RS256", "PS256", "ES256", "EdDSA")
"""How it may sign. Not with a secret that both know, and never not at all."""

TIMEOUT_S = 10.0
LEEWAY_S = 60
UNREACHABLE = "Your organisation’s sign-in does not answer as it should. Try again in a while."
REFUSED = "What your organisation’s sign-in answered was not accepted. Begin again."


@dataclass(frozen=True)
class Identity:
    """Whom an organisation says it is: by its address and its name for them, never by mail."""

    issuer: str
    subject: str
    name: str
    sign_in: str


@dataclass(frozen=True)
class Begun:
    """A sign-in that was begun: where it goes on, and what its answer is held against."""

    url: str
    state: str
    nonce: str
    verifier: str


class Provider:
    """The sign-in of one organisation; `transport` stands in for the network in tests."""

    def __init__(self, settings: Settings, transport: Any = None) -> None:  # noqa: ANN401
        self._settings = settings
        self._transport = transport

    @property
    def issuer(self) -> str:
        """Its address, as it names itself."""
        return self._settings.oidc_issuer

    async def begin(self, back_to: str) -> Begun:
        """Where a browser is sent to sign in there. Raises InvalidInput where it is not to be had.

        By an authorization code with PKCE (RFC 7636), state and nonce (OpenID Connect Core, 3.1).
        """
        from authlib.common.security import generate_token  # type: ignore[import-untyped]

        nonce, verifier = generate_token(32), generate_token(64)
        async with self._client(back_to) as client:
            told = await self._discover(client)
            url, state = client.create_authorization_url(
                told["authorization_endpoint"], nonce=nonce, code_verifier=verifier
            )
        return Begun(url, state, nonce, verifier)

    async def identity(self, begun: Begun, code: str, back_to: str, now_s: int) -> Identity:
        """Whom a code stands for. Raises InvalidInput for any answer that is not in order."""
        async with self._client(back_to) as client:
            told = await self._discover(client)
            token = await self._asked(
                client.fetch_token(told["token_endpoint"], code=code, code_verifier=begun.verifier)
            )
            keys = await self._json(client, told["jwks_uri"])
        return self._read(token, keys, begun.nonce, now_s)

    def _read(
        self, token: Mapping[str, Any], keys: Mapping[str, Any], nonce: str, now_s: int
    ) -> Identity:
        from authlib.oidc.core import CodeIDToken  # type: ignore[import-untyped]
        from joserfc import jwt
        from joserfc.errors import JoseError
        from joserfc.jwk import KeySet

        ours = self._settings.oidc_client_id
        expected = {
            "iss": {"essential": True, "value": self.issuer},
            "aud": {"essential": True, "value": ours},
        }
        params = {
            "nonce": nonce, "client_id": ours, "access_token": token.get("access_token"),
        }  # fmt: skip
        try:
            read = jwt.decode(
                str(token.get("id_token", "")),
                KeySet.import_key_set(dict(keys)),  # type: ignore[arg-type]
                algorithms=list(SIGNED_WITH),
            )
            claims = CodeIDToken(read.claims, read.header, expected, params)
            claims.validate(now=now_s, leeway=LEEWAY_S)
        except (JoseError, ValueError, KeyError, TypeError) as error:
            raise InvalidInput.of("", REFUSED) from error
        subject = str(claims["sub"])
        called = str(claims.get("preferred_username") or claims.get("email") or subject)
        return Identity(self.issuer, subject, str(claims.get("name") or called), called)

    async def _discover(self, client: Any) -> dict[str, str]:  # noqa: ANN401
        told = await self._json(client, f"{self.issuer}/.well-known/openid-configuration")
        wanted = ("authorization_endpoint", "token_endpoint", "jwks_uri")
        if told.get("issuer") != self.issuer or not all(told.get(each) for each in wanted):
            raise InvalidInput.of("", UNREACHABLE)
        return {each: str(told[each]) for each in wanted}

    async def _json(self, client: Any, url: str) -> dict[str, Any]:  # noqa: ANN401
        answer = await self._asked(client.request("GET", url, withhold_token=True))
        try:
            read = answer.json() if answer.status_code == 200 else None
        except ValueError:
            read = None
        if not isinstance(read, dict):
            raise InvalidInput.of("", UNREACHABLE)
        return read

    async def _asked(self, asking: Any) -> Any:  # noqa: ANN401
        from authlib.integrations.base_client import OAuthError  # type: ignore[import-untyped]
        from authlib.integrations.httpx_client import (  # type: ignore[import-untyped]
            oauth2_client,
        )

        try:
            return await asking
        except OAuthError as error:
            raise InvalidInput.of("", REFUSED) from error
        except (oauth2_client.httpx2.HTTPError, OSError, ValueError) as error:
            raise InvalidInput.of("", UNREACHABLE) from error

    def _client(self, back_to: str) -> Any:  # noqa: ANN401
        from authlib.integrations.httpx_client import AsyncOAuth2Client

        more = {"transport": self._transport} if self._transport is not None else {}
        return AsyncOAuth2Client(
            client_id=self._settings.oidc_client_id,
            client_secret=self._settings.oidc_client_secret or None,
            scope="openid profile email",
            redirect_uri=back_to,
            code_challenge_method="S256",
            timeout=TIMEOUT_S,
            **more,
        )
