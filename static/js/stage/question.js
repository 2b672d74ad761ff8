// A question before something that cannot be meant by accident. Its first answer is the harmless
// one, so that a stray press of a pedal goes on with the run.

/** Resolves to whether the person said yes. */
export function ask(parts, words, { yes, no = "Keep going" }) {
  const dialog = parts.question;
  if (dialog.open) return Promise.resolve(false);
  parts["question-words"].textContent = words;
  parts["question-yes"].textContent = yes;
  parts["question-no"].textContent = no;
  dialog.returnValue = "";
  dialog.showModal();
  return new Promise((resolve) => {
    dialog.addEventListener("close", () => resolve(dialog.returnValue === "yes"), { once: true });
  });
}
