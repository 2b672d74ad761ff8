// Saved, saving, not saved: said in the frame. What takes longer than a second shows that it goes on.

const SLOW_MS = 1000;
const asked = new Map();

export function connectSaving(root) {
  root.addEventListener("htmx:before:request", ({ detail: { ctx } }) => {
    const timer = setTimeout(() => root.body.classList.add("is-waiting"), SLOW_MS);
    asked.set(ctx, timer);
    if (isChange(ctx)) say(root, "Saving …");
  });
  root.addEventListener("htmx:finally:request", ({ detail: { ctx } }) => done(root, ctx));
  root.addEventListener("htmx:after:request", ({ detail: { ctx } }) => {
    if (isChange(ctx)) say(root, ctx.response?.raw.ok ? "Saved" : "");
  });
  root.addEventListener("htmx:error", ({ detail: { ctx } }) => {
    if (ctx && isChange(ctx)) say(root, "Not saved: try again", "failed");
  });
}

function isChange(ctx) {
  return ctx.request?.method === "POST";
}

function done(root, ctx) {
  clearTimeout(asked.get(ctx));
  asked.delete(ctx);
  if (!asked.size) root.body.classList.remove("is-waiting");
}

function say(root, words, state = "") {
  const sign = root.getElementById("saving");
  if (!sign) return;
  sign.textContent = words;
  sign.dataset.state = state;
}
