// Keys in open forms: Escape leaves one, Ctrl or Cmd with Enter saves it.

export function connectForms(root) {
  root.addEventListener("keydown", (event) => {
    const form = event.target.closest?.("form.inline");
    if (!form) return;
    if (event.key === "Escape") form.querySelector("[data-cancel]")?.click();
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) form.requestSubmit();
  });
}
