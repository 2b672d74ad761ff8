// On the page to join a run: puts the code that was scanned, which stands behind the "#" of the
// address, into its field.

const form = document.querySelector("[data-scanned]");
const scanned = decodeURIComponent(location.hash.slice(1));

if (scanned) {
  history.replaceState(null, "", location.pathname);
  form.code.value = scanned;
  form.code.defaultValue = scanned; // Nobody typed it: leaving the page loses nothing.
  if (!form.elements.name.value) form.elements.name.focus();
}
