// Asking the server over a network that may be dead: the one way in which this device does it.

const GIVE_UP_MS = 5_000;

/**
 * The answer to a request, as { ok, status, body }. A dead wifi can hang for minutes, also half-way
 * through an answer: it is given up long before that. Throws too where a good answer is no JSON,
 * which somebody else gave for the server: a wifi that wants a log-in first.
 */
export async function answerTo(url, options = {}, giveUpMs = GIVE_UP_MS) {
  const abort = new AbortController();
  const timer = setTimeout(() => abort.abort(), giveUpMs);
  try {
    const response = await fetch(url, { ...options, signal: abort.signal });
    const text = await response.text();
    return { ok: response.ok, status: response.status, body: read(text, response.ok) };
  } finally {
    clearTimeout(timer);
  }
}

/** What makes a request of something that is to be posted as JSON. */
export function posted(content) {
  return {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(content),
  };
}

function read(text, isGood) {
  try {
    return JSON.parse(text);
  } catch (error) {
    if (isGood) throw error;
    return {};
  }
}
