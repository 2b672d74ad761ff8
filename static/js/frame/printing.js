// A button that prints the page: shown only where the browser can.

export function connectPrinting(root) {
  for (const button of root.querySelectorAll("[data-print][hidden]")) {
    button.hidden = false;
    button.addEventListener("click", () => print());
  }
}
