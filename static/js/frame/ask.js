// Asks for a page as its links do: the body alone, swapped in its place.

/** Swaps the page for the one at an address. htmx tells of a target only where an element has it. */
export function askFor(url) {
  const headers = { "HX-Target": "main#page" };
  return window.htmx.ajax("GET", url, { target: "#page", swap: "innerHTML", headers });
}
