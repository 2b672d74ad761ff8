// On the page to join a run or a tasting: puts the code that was scanned, which stands behind the
// "#" of the address, into its field; also where the page is open already when it is scanned.

const form = document.querySelector("[data-scanned]");

addEventListener("hashchange", take);
take();

function take() {
  const scanned = decodeURIComponent(location.hash.slice(1));
  if (!scanned) return;
  history.replaceState(null, "", location.pathname);
  form.code.value = scanned;
  form.code.defaultValue = scanned; // Nobody typed it: leaving the page loses nothing.
  if (!form.elements.name.value) form.elements.name.focus();
}
