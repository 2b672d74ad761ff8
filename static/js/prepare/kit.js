// A thing is ticked at a touch, also while the server is away: the tick is kept on the device and
// sent until it has arrived. It says what is so ("packed"), for how much, and how long ago it was
// pressed, so it may arrive twice or late. What others tick meanwhile is asked for while the page is
// in view, and with it whether more is needed by now than was packed.

const KEPT = "ninefifty.tick.";
const AGAIN_MS = 4000;

let timer = null;

/** Connects the list of the kit, if the page has one. */
export function connectKit(root) {
  clearInterval(timer);
  const desk = root.querySelector("[data-kit]");
  if (!desk) return;
  for (const form of desk.querySelectorAll("form[data-tick]")) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      press(desk, form);
    });
  }
  show(desk, {});
  timer = setInterval(() => document.visibilityState === "visible" && agree(desk), AGAIN_MS);
  agree(desk);
}

function press(desk, form) {
  const button = form.querySelector("button");
  const packed = button.getAttribute("aria-pressed") !== "true";
  keep(nameOf(desk, form), packed, form.elements.amount.value);
  show(desk, {});
  agree(desk);
}

// Sends what is kept, then asks how things stand.
async function agree(desk) {
  if (desk.dataset.busy) return;
  desk.dataset.busy = "yes";
  try {
    for (const form of forms(desk)) await send(desk, form);
    const answer = await fetch(`${desk.dataset.kit}?at=${desk.dataset.at}`);
    // Taken out meanwhile, a device ticks on for itself alone: whoever packs must know.
    document.getElementById("kit-shut").hidden = ![401, 403, 404].includes(answer.status);
    if (answer.ok && desk.isConnected) show(desk, await answer.json());
  } catch {
    // The server is away: what is kept goes out the next time.
  }
  delete desk.dataset.busy;
}

async function send(desk, form) {
  const name = nameOf(desk, form);
  const kept = read(name);
  if (kept === null) return;
  const body = new URLSearchParams({ at: form.elements.at.value, key: form.elements.key.value });
  const [packed, at = Date.now(), ...amount] = kept.split("@");
  if (packed) body.set("packed", packed);
  body.set("amount", amount.join("@"));
  body.set("ago", Math.max(0, Date.now() - Number(at)));
  const answer = await fetch(desk.dataset.kit, {
    method: "POST",
    body,
    headers: { Accept: "application/json" },
  });
  // Pressed again meanwhile: that one goes out the next time.
  if ((answer.ok || answer.status === 422) && read(name) === kept) forget(name);
}

// What is kept here counts before what the server knows.
function show(desk, known) {
  let changed = false;
  for (const form of forms(desk)) {
    const kept = read(nameOf(desk, form));
    const button = form.querySelector("button");
    const shown = button.getAttribute("aria-pressed") === "true";
    const told = known[form.elements.key.value];
    const packed = kept === null ? (told?.packed ?? shown) : kept.startsWith("yes");
    button.toggleAttribute("data-unsent", kept !== null);
    if (told) need(form, told);
    if (packed) form.querySelector("[data-short]").textContent = "";
    if (packed === shown) continue;
    button.setAttribute("aria-pressed", String(packed));
    button.value = packed ? "" : "yes";
    changed = true;
  }
  if (changed) count(desk);
}

// More can be needed by now than this page was made with.
function need(form, { needed, short }) {
  form.elements.amount.value = needed;
  form.querySelector("[data-short]").textContent = short;
  const amount = form.querySelector("b");
  if (amount) amount.textContent = needed;
}

function count(desk) {
  const buttons = [...forms(desk)].map((form) => form.querySelector("button"));
  const done = buttons.filter((each) => each.getAttribute("aria-pressed") === "true").length;
  const words = `${done} of ${buttons.length} packed ${desk.dataset.for}`;
  document.querySelector(".headline h1").textContent = words;
  document.getElementById("kit-said").textContent = words;
  for (const group of desk.querySelectorAll("details.kit-group")) {
    const [packed, all] = ['[aria-pressed="true"]', "[aria-pressed]"]
      .map((state) => group.querySelectorAll(`form[data-tick] > ${state}`).length);
    group.querySelector("[data-count]").textContent = `${packed} of ${all}`;
  }
}

function forms(desk) {
  return desk.querySelectorAll("form[data-tick]");
}

function nameOf(desk, form) {
  return `${KEPT}${desk.dataset.kit}.${desk.dataset.at}.${form.elements.key.value}`;
}

// Where storage is switched off, it is kept as long as the page is open.
const held = new Map();

function keep(name, packed, amount) {
  held.set(name, `${packed ? "yes" : ""}@${Date.now()}@${amount}`);
  try {
    localStorage.setItem(name, held.get(name));
  } catch {
    // Then it is held by the page alone.
  }
}

function read(name) {
  if (held.has(name)) return held.get(name);
  try {
    return localStorage.getItem(name);
  } catch {
    return null;
  }
}

function forget(name) {
  held.delete(name);
  try {
    localStorage.removeItem(name);
  } catch {
    // Nothing was written either.
  }
}
