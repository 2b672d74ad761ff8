// Every place by one key, and a help that "?" opens. Keys mean nothing while somebody types.

const TYPING = "input, textarea, select, [contenteditable]";
const FURTHER = [
  ["?", "This help"],
  ["Escape", "Close what is open"],
  ["Ctrl + Enter", "Save the form"],
];

export function connectKeys(root) {
  root.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
    if (event.target.closest?.(TYPING) || root.querySelector("dialog[open]")) return;
    if (event.key === "?") help(root);
    else if (event.key === "Escape") close(root);
    else if (event.key.length === 1) press(event, keyed(root, event.key.toLowerCase()));
  });
  root.addEventListener("click", (event) => {
    if (event.target.closest?.("[data-help]")) help(root);
    for (const menu of root.querySelectorAll("details.menu[open]")) {
      if (!menu.contains(event.target) || event.target.closest("[data-help]")) menu.open = false;
    }
  });
}

// Where it leads into a text, the letter itself must not be typed there.
function press(event, link) {
  if (!link) return;
  event.preventDefault();
  link.click();
}

function keyed(root, key) {
  return [...root.querySelectorAll("[data-key]")].find((link) => link.dataset.key === key);
}

function close(root) {
  const menu = root.querySelector("details.menu[open]");
  if (menu) {
    menu.open = false;
    menu.querySelector("summary").focus();
  } else {
    root.querySelector("[data-panel] [data-close]")?.click();
  }
}

function help(root) {
  const places = [...root.querySelectorAll("[data-key]")]
    .map((link) => [link.dataset.key.toUpperCase(), link.textContent.trim()]);
  root.getElementById("keys-list").replaceChildren(...[...places, ...FURTHER].flatMap(line));
  root.getElementById("keys").showModal();
}

function line([key, words]) {
  const [term, meaning] = [document.createElement("dt"), document.createElement("dd")];
  const cap = document.createElement("kbd");
  cap.textContent = key;
  term.append(cap);
  meaning.textContent = words;
  return [term, meaning];
}
