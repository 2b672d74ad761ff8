// Events on their way to the server, in batches. A batch with one bad event is refused whole: then
// smaller ones are sent until the bad one is alone, and larger ones again after it.

import { answerTo, posted } from "./answer.js";

const MOST_IN_BATCH = 200;

const TROUBLE = new Map([
  [403, "shut"],
  [404, "unknown"],
  [410, "gone"],
  [422, "refused"],
]);

/** What an answer of the server says is the matter: null, "offline", "shut", "unknown", "gone", "refused". */
export function troubleOf({ ok, status }) {
  return ok ? null : (TROUBLE.get(status) ?? "offline");
}

/**
 * Sends a batch. Resolves to { trouble, message, kept, differing, takeovers }: `kept` are the ids
 * the server acknowledged, `differing` those of them that it holds with other content.
 */
export async function sendBatch(url, events) {
  const none = { message: "", kept: [], differing: [], takeovers: [] };
  try {
    const answer = await answerTo(url, batchRequest(events));
    if (!answer.ok) {
      return { ...none, trouble: troubleOf(answer), message: answer.body.error?.message ?? "" };
    }
    const { accepted, differing, takeovers = [] } = answer.body;
    return { ...none, trouble: null, kept: [...accepted, ...differing], differing, takeovers };
  } catch {
    return { ...none, trouble: "offline" };
  }
}

export function batchRequest(events) {
  return posted({ events });
}

/** How many events go into the next batch. */
export class BatchSize {
  most = MOST_IN_BATCH;

  wasTaken() {
    this.most = Math.min(MOST_IN_BATCH, this.most * 2);
  }

  wasRefused(length) {
    this.most = Math.max(1, Math.floor(length / 2));
  }
}
