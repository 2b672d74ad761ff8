// On the page of a link with a secret: posts what stands behind its "#", which no server hears.

const form = document.querySelector("[data-secret]");
const carried = decodeURIComponent(location.hash.slice(1));

if (carried) {
  // Not to be found in the history of a browser that others use too.
  history.replaceState(null, "", location.pathname);
  form.elements.secret.value = carried;
  form.requestSubmit();
}
