"""A sign-in of an organisation, as small as it can be: its key is made on the fly."""

import time
from base64 import urlsafe_b64encode
from functools import cache, partial
from hashlib import sha256
from urllib.parse import parse_qs

from fastapi import FastAPI, Request
from joserfc import jwt
from joserfc.jwk import RSAKey

KEY = cache(partial(RSAKey.generate_key, 2048, {"kid": "one", "use": "sig", "alg": "RS256"}))
"""The same for all tests of a process: to find its primes takes longer than most of them."""

ISSUER = "https://sign-in.example"
CLIENT = "ninefifty"


class FakeProvider:
    """`says` is what its next ID token says beside what is usual; `signs` how it is signed."""

    def __init__(self):
        self.key = KEY()
        self.asked, self.says, self.header = {}, {}, {"alg": "RS256", "kid": "one"}
        self.signing_key = self.key
        self.app = FastAPI()
        self.app.get("/.well-known/openid-configuration")(self.told)
        self.app.get("/keys")(self.keys)
        self.app.post("/token")(self.token)
        self.issuer = ISSUER

    def authorize(self, url):
        """What a person does there: they are asked for nothing and sent back with a code."""
        query = {name: value for name, (value,) in parse_qs(url.split("?", 1)[1]).items()}
        assert (query["client_id"], query["response_type"]) == (CLIENT, "code")
        assert query["code_challenge_method"] == "S256"
        self.asked = query
        return query["state"]

    async def told(self):
        return {
            "issuer": self.issuer, "authorization_endpoint": f"{ISSUER}/authorize",
            "token_endpoint": f"{ISSUER}/token", "jwks_uri": f"{ISSUER}/keys",
        }  # fmt: skip

    async def keys(self):
        return {"keys": [self.key.as_dict(private=False)]}

    async def token(self, request: Request):
        form = {name: value for name, (value,) in parse_qs((await request.body()).decode()).items()}
        hashed = sha256(form["code_verifier"].encode()).digest()
        assert urlsafe_b64encode(hashed).decode().rstrip("=") == self.asked["code_challenge"]
        return {"access_token": "x", "token_type": "Bearer", "id_token": self.id_token()}

    def id_token(self):
        now = int(time.time())
        usual = {
            "iss": ISSUER, "aud": CLIENT, "sub": "s-1", "iat": now, "exp": now + 300,
            "nonce": self.asked["nonce"], "name": "Cam", "email": "ada@bar.example",
        }  # fmt: skip
        claims = {name: value for name, value in (usual | self.says).items() if value is not None}
        return jwt.encode(self.header, claims, self.signing_key, algorithms=[self.header["alg"]])
