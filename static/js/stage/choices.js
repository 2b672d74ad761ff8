// What opens over the stage when it is asked for: what went wrong, more, where to skip to. One at
// a time; it closes by itself, by Escape and by a touch elsewhere, and never covers Next.

const OPEN_MS = 8000;

export class Choices {
  #groups;
  #switches;
  #timer = null;

  constructor(parts) {
    this.#groups = { incident: parts.incidents, more: parts.more, skip: parts.skip };
    this.#switches = { incident: parts.incident, more: parts["more-switch"] };
  }

  /** The name of the one that is open; null for none. */
  get open() {
    return Object.keys(this.#groups).find((name) => !this.#groups[name].hidden) ?? null;
  }

  toggle(name) {
    this.show(this.open === name ? null : name);
  }

  /** Opens one, null for none, and closes any other. */
  show(name) {
    clearTimeout(this.#timer);
    for (const [each, group] of Object.entries(this.#groups)) group.hidden = each !== name;
    for (const [each, button] of Object.entries(this.#switches)) {
      button.setAttribute("aria-expanded", String(each === name));
    }
    if (name !== null) this.#timer = setTimeout(() => this.show(null), OPEN_MS);
  }

  /** Whether a touch of this node leaves what is open alone: it is within, or on what opened it. */
  holds(node) {
    const name = this.open;
    return this.#groups[name]?.contains(node) || this.#switches[name]?.contains(node) || false;
  }
}
