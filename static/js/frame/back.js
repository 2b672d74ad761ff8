// The open form in the address: Back closes it, a reload opens it again. Saved or cancelled, its
// entry is taken back, so that Back never leads into a form that is done with.

import { askFor } from "./ask.js";
import { mayDrop } from "./typed.js";

// Names in an address for what is open: a form, or a thing shown beside the list.
const OPEN = ["edit", "open"];

let shown;
let isStepping = false;

export function connectBack(root) {
  shown = address();
  root.addEventListener("htmx:after:swap", ({ detail: { ctx } }) => {
    if (ctx.target?.id === "page") follow(root, ctx);
  });
  window.addEventListener("popstate", () => goTo(root));
}

function follow(root, ctx) {
  const url = new URL(ctx.response.raw.url);
  // A change that leads to another place: go there whole, frame and address with it.
  if (ctx.response.raw.redirected && url.pathname !== location.pathname) {
    location.replace(url);
    return;
  }
  const isOpened = ctx.request.method === "GET" && OPEN.some((name) => url.searchParams.has(name));
  if (isOpened && root.querySelector("main :is(form.inline, [data-panel])")) open(url);
  else if (ctx.response.raw.ok) close();
}

function open({ pathname, search }) {
  if (history.state?.form) {
    history.replaceState({ form: true }, "", pathname + search);
  } else {
    // The page keeps its place when the form closes; the browser would put back an older one.
    history.scrollRestoration = "manual";
    history.pushState({ form: true }, "", pathname + search);
  }
  shown = address();
}

function close() {
  const url = new URL(location.href);
  if (history.state?.form) {
    isStepping = true;
    history.back();
  } else if (OPEN.some((name) => url.searchParams.has(name))) {
    OPEN.forEach((name) => url.searchParams.delete(name));
    history.replaceState(null, "", url.pathname + url.search);
    shown = address();
  }
}

async function goTo(root) {
  const from = shown;
  shown = address();
  if (!history.state?.form) history.scrollRestoration = "auto";
  if (isStepping || from === shown) {
    isStepping = false;
  } else if (await mayDrop(root)) {
    askFor(shown);
  } else {
    history.scrollRestoration = "manual";
    history.pushState({ form: true }, "", from);
    shown = from;
  }
}

function address() {
  return location.pathname + location.search;
}
