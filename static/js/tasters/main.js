// A taster's card: kept on the phone with every touch and sent until the server has it, also when
// that was away for a while. All of it is sent each time, so sending twice does no harm.

import { BackOff } from "../run/back_off.js";
import { KeptCard } from "./kept.js";

const FIRST_WAIT_MS = 1000;
const LONGEST_WAIT_MS = 15_000;

const SENT = "Your card is handed in. Thank you.";
const NOTHING = "You ticked nothing. If that is so, leave it; your card is handed in.";
const EVERYTHING = "You ticked everything: tick only what you find yourself. Your card is handed in.";
const WAITS = "Kept on this phone. It is sent as soon as the host’s computer can be reached.";
const SHUT = "This tasting takes no answers from this phone any more. They are still kept on it.";

const form = document.querySelector("[data-taste]");
if (form) connect();

function connect() {
  const said = document.getElementById("taste-said");
  const card = new KeptCard(form.dataset.taste);
  const again = new BackOff(FIRST_WAIT_MS, LONGEST_WAIT_MS);
  let busy = false;

  if (card.count > Number(form.elements.count.value)) fill(card.fields);
  if (card.done && !card.isUnsent) tell(handedIn());
  form.addEventListener("change", () => note(card.done));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    note(true);
  });
  addEventListener("online", send);
  addEventListener("pageshow", send);
  send();

  function note(done) {
    const before = Math.max(card.count, Number(form.elements.count.value));
    card.keep(before + 1, fieldsOf(), done);
    send();
  }

  async function send() {
    if (busy || !card.isUnsent) return;
    busy = true;
    again.cancel();
    const { count, done } = card;
    const answer = await post(count, done);
    busy = false;
    if (answer?.ok) {
      card.sent(count);
      again.reset();
      tell(done ? handedIn() : "");
      send();
    } else if (answer && answer.status < 500 && answer.status !== 429) {
      tell(answer.status === 422 ? "Choose a glass. If you are not sure, guess." : SHUT);
    } else {
      tell(WAITS);
      again.later(send);
    }
  }

  async function post(count, done) {
    const body = new URLSearchParams(card.fields);
    body.set("count", count);
    if (done) body.set("done", "yes");
    try {
      return await fetch(form.action, {
        method: "POST",
        body,
        headers: { Accept: "application/json" },
      });
    } catch {
      return null; // No network: it is kept, and goes out later.
    }
  }

  function tell(words) {
    said.textContent = words;
    form.dataset.state = card.isUnsent ? "waits" : "sent";
  }
}

// Such a card tells no words apart.
function handedIn() {
  const boxes = [...form.querySelectorAll('input[type="checkbox"]')];
  const ticked = boxes.filter((box) => box.checked).length;
  if (!boxes.length || (ticked && ticked < boxes.length)) return SENT;
  return ticked ? EVERYTHING : NOTHING;
}

function fieldsOf() {
  return [...new FormData(form)].filter(([name]) => name !== "count" && name !== "done");
}

// As it was left on this phone, whatever an older page says.
function fill(fields) {
  const values = new Map(fields);
  for (const field of form.elements) {
    if (field.type === "checkbox" || field.type === "radio") {
      field.checked = values.get(field.name) === field.value;
    }
  }
}
