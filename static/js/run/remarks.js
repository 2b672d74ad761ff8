// What is remarked of a run beside its marks: claims heard or missed, calls, points given. The
// mirror of server/domain/runs/remarks.py.

export const REMARKS = new Set(["claim", "call", "score"]);

/** The remarks of a run while its log is read. */
export class Remarks {
  #claims = [];
  #calls = [];
  #scores = [];

  /** Takes a remark; any other event is left alone. */
  take(event, atMs) {
    const { id } = event;
    const who = event.who ?? "";
    if (event.kind === "claim" && event.claim != null && event.verdict != null) {
      const { claim, verdict } = event;
      const state = { id, claim, verdict, elapsed_ms: atMs, segment_id: event.segment_id ?? null, who };
      const key = JSON.stringify([claim, event.device_id]);
      this.#claims.push({ place: [atMs, event.seq, id], key, state });
    } else if (event.kind === "call") {
      this.#calls.push({ place: [atMs, id], state: { id, elapsed_ms: atMs, text: event.text ?? "", who } });
    } else if (event.kind === "score" && event.criterion != null && event.points != null) {
      const { criterion, points, device_id } = event;
      const key = JSON.stringify([criterion, device_id]);
      this.#scores.push({ place: [event.seq, id], key, state: { id, criterion, points, device_id, who } });
    }
  }

  /** One state a claim, in the order in which claims were last ticked. */
  claims() {
    const words = latestOfEach(this.#claims);
    const latest = new Map(words.map((each) => [each.claim, each]));
    return words
      .filter((each) => latest.get(each.claim) === each)
      .map((each) => ({ ...each, against: differing(words, each) }));
  }

  /** What was called, in order of time. */
  calls() {
    return inPlace(this.#calls).map((each) => each.state);
  }

  /** One score a criterion and device, in the order in which they were given. */
  scores() {
    return latestOfEach(this.#scores);
  }
}

function differing(words, { claim, verdict }) {
  return words
    .filter((each) => each.claim === claim && each.verdict !== verdict)
    .map((each) => ({ who: each.who, verdict: each.verdict }));
}

function latestOfEach(remarks) {
  const sorted = inPlace(remarks);
  const latest = new Map(sorted.map((each) => [each.key, each]));
  return sorted.filter((each) => latest.get(each.key) === each).map((each) => each.state);
}

function inPlace(remarks) {
  return [...remarks].sort((a, b) => compared(a.place, b.place));
}

function compared(one, other) {
  const at = one.findIndex((value, index) => value !== other[index]);
  if (at < 0) return 0;
  return one[at] < other[at] ? -1 : 1;
}
