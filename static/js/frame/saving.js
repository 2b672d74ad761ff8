// Saved, saving, not saved: said in the frame. What takes longer than a second shows that it goes on.

const SLOW_MS = 1000;
const asked = new Map();

// Answers: when one is given, the next claim comes under the hand.
const ANSWERS = ".claim form, .claim-ways form";
// Forms that are under way: a double click does not send them twice. What is only a button, Undo or
// a second more, may be pressed again at once, but not an answer.
const ONCE = `form.form, form.quick-add, ${ANSWERS}`;
const underWay = new WeakSet();

// The form whose request failed, while that can be tried again.
let failed;

export function connectSaving(root) {
  root.addEventListener("htmx:config:request", (event) => {
    const { sourceElement: form } = event.detail.ctx;
    if (!form?.matches?.(ONCE)) return;
    if (underWay.has(form)) event.preventDefault();
    underWay.add(form);
  });
  root.addEventListener("click", (event) => {
    // The second half of a double click is not meant for what came under it meanwhile.
    if (event.detail > 1 && event.target.closest?.(ANSWERS)) event.preventDefault();
  }, true);
  root.addEventListener("htmx:before:request", ({ detail: { ctx } }) => {
    const timer = setTimeout(() => root.body.classList.add("is-waiting"), SLOW_MS);
    asked.set(ctx, timer);
    if (isChange(ctx)) say(root, "Saving …");
  });
  root.addEventListener("htmx:finally:request", ({ detail: { ctx } }) => done(root, ctx));
  root.addEventListener("htmx:after:request", ({ detail: { ctx } }) => {
    if (!isChange(ctx)) return;
    if (ctx.response.raw.status >= 500) notSaved(root, ctx.request);
    else say(root, ctx.response.raw.ok ? "Saved" : "");
  });
  root.addEventListener("htmx:error", ({ detail: { ctx } }) => {
    if (ctx && isChange(ctx)) notSaved(root, ctx.request);
  });
  // With its form goes what could be tried again.
  root.addEventListener("htmx:after:swap", () => {
    if (failed && !failed.isConnected) say(root, "");
  });
}

// Tried again as it was sent, by the same button, with what stands in the form by then.
function notSaved(root, { form, submitter }) {
  say(root, "Not saved", "failed", form && (() => form.requestSubmit(submitter)));
  failed = form;
}

// The script says by itself how it stands; and what is long is asked by POST, which saves nothing.
function isChange(ctx) {
  const isAsked = ctx.sourceElement?.closest?.("[data-script], [data-asks]");
  return ctx.request?.method === "POST" && !isAsked;
}

function done(root, ctx) {
  underWay.delete(ctx.sourceElement);
  clearTimeout(asked.get(ctx));
  asked.delete(ctx);
  if (!asked.size) root.body.classList.remove("is-waiting");
}

/** Says in the frame how saving stands; with `again`, a button tries it once more. */
export function say(root, words, state = "", again) {
  const sign = root.getElementById("saving");
  if (!sign) return;
  sign.replaceChildren(words);
  sign.dataset.state = state;
  failed = undefined;
  if (!again) return;
  const button = root.createElement("button");
  button.type = "button";
  button.className = "quiet";
  button.textContent = "Try again";
  button.addEventListener("click", again);
  sign.append(": ", button);
}
