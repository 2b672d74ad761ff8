// What a sitting came to, once its last sentence was said.

const HOW_WORDS = { sat: "known", stumbled: "stumbled", gone: "gone" };

/** Shows how many sentences were said, and how they went, by their marks { sentence, how }. */
export function showOver(root, marked) {
  const told = Object.entries(HOW_WORDS)
    .map(([how, words]) => [marked.filter((each) => each.how === how).length, words])
    .filter(([count]) => count > 0)
    .map(([count, words]) => `${count} ${words}`);
  const count = new Set(marked.map(({ sentence }) => sentence)).size;
  root.querySelector("[data-part=over-words]").textContent =
    `${count} ${count === 1 ? "sentence" : "sentences"} said by heart`;
  root.querySelector("[data-part=over-more]").textContent = told.join(", ");
  root.querySelector(".learn-over").scrollIntoView({ block: "center" });
}
