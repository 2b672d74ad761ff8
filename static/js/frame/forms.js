// Open forms by keyboard: Escape leaves one, Ctrl or Cmd with Enter saves it, and the focus goes
// back to the button that opened it.

export function connectForms(root) {
  let opener;
  root.addEventListener("htmx:before:swap", () => {
    opener = root.querySelector("form.inline")?.dataset.opener;
  });
  root.addEventListener("htmx:after:swap", () => {
    if (root.activeElement !== root.body) return;
    root.getElementById(opener)?.focus({ preventScroll: true });
  });
  root.addEventListener("keydown", (event) => {
    const form = event.target.closest?.("form.inline");
    if (!form) return;
    if (event.key === "Escape") form.querySelector("[data-cancel]")?.click();
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) form.requestSubmit();
  });
}
