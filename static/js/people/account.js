// On the pages to sign in on and of one's account: what is done with passkeys there, and how the
// organisation's own sign-in is tied to the account.

import { ask, hindrance, makePasskey, signInByPasskey } from "./passkeys.js";

show();
document.addEventListener("htmx:after:swap", show);
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.matches("[data-passkey-new]")) {
    act(event, () => makePasskey(form.elements.name.value, form.elements.present?.value ?? ""));
  } else if (form.matches("[data-passkey-sign-in]")) {
    act(event, () => signInByPasskey(form.elements.to.value));
  } else if (form.matches("[data-tie]")) {
    act(event, async () => (await ask("/api/organisation/tie", { present: form.elements.present?.value ?? "" })).to);
  }
});

// Where they cannot be had the page says why, in place of what asks for one.
function show() {
  const why = hindrance();
  for (const part of document.querySelectorAll("[data-passkeys]")) part.hidden = why !== "";
  for (const part of document.querySelectorAll("[data-no-passkeys]")) {
    part.hidden = why === "";
    part.textContent = why;
  }
}

async function act(event, begin) {
  event.preventDefault();
  const form = event.target;
  const [button, said] = [form.querySelector("button"), form.querySelector("[data-said]")];
  button.disabled = true;
  said.textContent = "";
  try {
    location.assign(await begin());
  } catch (error) {
    said.textContent = `▲ ${error.message}`;
    button.disabled = false;
  }
}
