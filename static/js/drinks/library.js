// An ingredient chosen from the library fills the fields of its form at once, so that one sees what
// it brings and can type over it. What was typed before stays.

import { drawn } from "../frame/fields.js";

/** Connects the choice of an ingredient, in whatever form of the page it stands. */
export function connectLibrary(root) {
  root.addEventListener("change", (event) => {
    if (event.target.matches?.("select[data-library]")) choose(event.target);
  });
}

async function choose(select) {
  const { form, value: key } = select;
  const told = select.closest(".field").querySelector("[data-library-told]");
  form.elements.library_filled.value = "";
  told.textContent = "";
  if (!key) return;
  const values = await asked(`${select.dataset.library}/${encodeURIComponent(key)}`);
  // Another one was chosen meanwhile, or the app is away: then saving takes the properties.
  if (!values || select.value !== key) return;
  const typed = select.dataset.typed.split(" ");
  for (const [name, text] of Object.entries(values)) {
    if (!typed.includes(name.replace(/_per$/, ""))) fill(form.elements[name], text);
  }
  form.elements.library_filled.value = key;
  for (const part of form.querySelectorAll("details")) part.open = true;
  told.textContent = `Filled in as in the library: ${values.name}. Type over what differs.`;
}

async function asked(address) {
  try {
    const answer = await fetch(address);
    return answer.ok ? await answer.json() : null;
  } catch {
    return null;
  }
}

// A field that holds something else than it was drawn or filled with was typed in.
function fill(field, text) {
  if (!field) return;
  if (field.type === "checkbox") {
    // The library never takes back a tick, and nobody has checked for the person.
    if (text && field.name !== "allergens_checked") field.checked = true;
    return;
  }
  const shown = field.dataset.filled ?? drawn(field);
  if (field.value !== shown) return;
  field.value = text;
  field.dataset.filled = field.value;
}
