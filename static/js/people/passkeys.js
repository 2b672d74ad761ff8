// Passkeys: asks the browser to make one, or to sign with one, and posts what it answers.

const NOT_SECURE = "Passkeys need https, or a page on the computer itself. Over plain http a password lets you in.";
const NO_NAME = "A passkey belongs to a name, and the address of this page is a number. Open the app by its name over https.";
const NOT_HERE = "This browser has no passkeys.";
const STOPPED = "No passkey was given. Try again, or use your password.";

/** Why passkeys cannot be had on this page; "" where they can. */
export function hindrance() {
  if (!isSecureContext) return NOT_SECURE;
  if (/^[\d.]+$|:/.test(location.hostname)) return NO_NAME;
  return "PublicKeyCredential" in window ? "" : NOT_HERE;
}

/** Makes a passkey under a name; resolves to where to go on. Throws an Error with words. */
export async function makePasskey(name, present) {
  const options = await ask("/api/passkeys/begin", { present });
  const publicKey = {
    ...options,
    challenge: bytes(options.challenge),
    user: { ...options.user, id: bytes(options.user.id) },
    excludeCredentials: (options.excludeCredentials ?? []).map(described),
  };
  const made = await given(() => navigator.credentials.create({ publicKey }));
  const response = {
    clientDataJSON: text(made.response.clientDataJSON),
    attestationObject: text(made.response.attestationObject),
  };
  return (await ask("/api/passkeys", { name, credential: credential(made, response) })).to;
}

/** Signs in by a passkey; resolves to where to go on. Throws an Error with words. */
export async function signInByPasskey(to) {
  const options = await ask("/api/sign-in/begin", {});
  const publicKey = {
    ...options,
    challenge: bytes(options.challenge),
    allowCredentials: (options.allowCredentials ?? []).map(described),
  };
  const used = await given(() => navigator.credentials.get({ publicKey }));
  const { clientDataJSON, authenticatorData, signature, userHandle } = used.response;
  const response = {
    clientDataJSON: text(clientDataJSON),
    authenticatorData: text(authenticatorData),
    signature: text(signature),
    userHandle: userHandle ? text(userHandle) : null,
  };
  return (await ask("/api/sign-in/passkey", { to, credential: credential(used, response) })).to;
}

/** What the app answers to something posted. Throws an Error with words. */
export async function ask(url, body) {
  const answer = await fetch(url, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  });
  const read = await answer.json().catch(() => null);
  if (answer.ok && read) return read;
  const { faults = [], message = "The app cannot be reached just now." } = read?.error ?? {};
  throw new Error(faults[0]?.message ?? message);
}

async function given(wait) {
  try {
    return await wait();
  } catch (error) {
    throw new Error(error.name === "InvalidStateError" ? "This device holds a passkey of yours already." : STOPPED);
  }
}

function credential({ rawId, type }, response) {
  return { id: text(rawId), rawId: text(rawId), type, response, clientExtensionResults: {} };
}

const described = (each) => ({ ...each, id: bytes(each.id) });

function bytes(base64url) {
  const signs = atob(base64url.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(signs, (sign) => sign.charCodeAt(0));
}

function text(buffer) {
  const signs = String.fromCharCode(...new Uint8Array(buffer));
  return btoa(signs).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}
