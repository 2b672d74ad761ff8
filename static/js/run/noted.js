// Incidents of a run and what was written about them, or about the run.

export class Noted {
  #incidents = new Map();
  #notes = [];

  /** Takes an incident; false where it does not say what went wrong. */
  incident(event, atMs) {
    if (event.what == null) return false;
    this.#incidents.set(event.id, {
      id: event.id,
      what: event.what,
      elapsed_ms: atMs,
      segment_id: event.segment_id ?? null,
      text: event.text ?? "",
      who: event.who ?? "",
    });
    return true;
  }

  /** Takes a note: the text of the incident it is about, or a text of its own. */
  note(event, atMs) {
    const text = event.text ?? "";
    const about = this.#incidents.get(event.target_id);
    if (about) {
      this.#incidents.set(about.id, { ...about, text });
    } else {
      this.#notes.push({
        id: event.id,
        elapsed_ms: atMs,
        segment_id: event.segment_id ?? null,
        text,
        who: event.who ?? "",
      });
    }
  }

  incidents() {
    return [...this.#incidents.values()].sort((a, b) => a.elapsed_ms - b.elapsed_ms);
  }

  notes() {
    return this.#notes;
  }
}
