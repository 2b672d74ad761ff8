"""An authenticator of software: makes a passkey and signs with it, as WebAuthn level 2 says.

Written from the standard (6.1 authenticator data, 6.5.4 attested credential data, 5.8.1 client
data), beside the library that the app checks answers with.
"""

import base64
import json
from hashlib import sha256

import cbor2
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec

PRESENT, VERIFIED, ATTESTED = 0x01, 0x04, 0x40
ES256 = -7


def b64(content):
    return base64.urlsafe_b64encode(content).rstrip(b"=").decode()


class Authenticator:
    def __init__(self, origin, name, key_id=b"the-first-passkey"):
        self.origin, self.name, self.key_id = origin, name, key_id
        self.key = ec.generate_private_key(ec.SECP256R1())
        self.signs = 0

    def make(self, options, lacks=None):
        """The answer of a browser that was asked to make a passkey; its key may lack a part."""
        point = self.key.public_key().public_numbers()
        x, y = (number.to_bytes(32, "big") for number in (point.x, point.y))
        parts = {1: 2, 3: ES256, -1: 1, -2: x, -3: y}
        cose = cbor2.dumps({name: part for name, part in parts.items() if name != lacks})
        held = bytes(16) + len(self.key_id).to_bytes(2, "big") + self.key_id + cose
        data = self._data(PRESENT | VERIFIED | ATTESTED) + held
        attested = cbor2.dumps({"fmt": "none", "attStmt": {}, "authData": data})
        client = self._client("webauthn.create", options)
        return self._answer({"clientDataJSON": b64(client), "attestationObject": b64(attested)})

    def sign(self, options):
        """The answer of a browser that was asked to sign."""
        self.signs += 1
        data, client = self._data(PRESENT | VERIFIED), self._client("webauthn.get", options)
        signed = self.key.sign(data + sha256(client).digest(), ec.ECDSA(hashes.SHA256()))
        return self._answer({
            "clientDataJSON": b64(client), "authenticatorData": b64(data), "signature": b64(signed),
        })  # fmt: skip

    def _data(self, flags):
        return sha256(self.name.encode()).digest() + bytes([flags]) + self.signs.to_bytes(4, "big")

    def _client(self, kind, options):
        asked = {"type": kind, "challenge": options["challenge"], "origin": self.origin}
        return json.dumps(asked).encode()

    def _answer(self, response):
        return {
            "id": b64(self.key_id), "rawId": b64(self.key_id), "type": "public-key",
            "response": response, "clientExtensionResults": {},
        }  # fmt: skip
