// Asking the server over a network that may be dead.

const GIVE_UP_MS = 5_000;

/** The answer to a request. A dead wifi can hang for minutes: it is given up long before that. */
export async function answerTo(url, options = {}, giveUpMs = GIVE_UP_MS) {
  const abort = new AbortController();
  const timer = setTimeout(() => abort.abort(), giveUpMs);
  try {
    return await fetch(url, { ...options, signal: abort.signal });
  } finally {
    clearTimeout(timer);
  }
}
