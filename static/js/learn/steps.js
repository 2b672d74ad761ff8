// Of a whole segment the steps stand above it: the one that it has come to is marked.

export function markStep(reached) {
  document.querySelectorAll(".learn-steps a").forEach((link, step) => {
    if (step === reached) link.setAttribute("aria-current", "true");
    else link.removeAttribute("aria-current");
  });
}
