// Saying the script by heart: its words thin out in their place, and how it went is one touch.

import { Course } from "./course.js";
import { Outbox } from "./outbox.js";
import { showOver } from "./over.js";
import { Pace } from "./pace.js";
import { chosenPace, turnedPace } from "./pace_choice.js";
import { keepPlace, listOf, placeBefore } from "./place.js";
import { runThrough } from "./run_through.js";
import { sayings } from "./sayings.js";
import { markStep } from "./steps.js";
import { PACE_WORDS, stepWords, unsentWords } from "./words.js";

export class Sitting {
  #root;
  #lines;
  #course;
  #outbox;
  #pace;
  #marks = [];
  #paced = chosenPace();
  #running = false;

  constructor(root) {
    this.#root = root;
    this.#lines = [...root.querySelectorAll(".learn-line[data-start]")];
    const starts = this.#lines.map((line) => Number(line.dataset.start));
    this.#course = new Course(sayings(starts, root.dataset.whole !== ""));
    const { way, marks } = placeBefore(listOf(this.#lines));
    this.#course.follow(way);
    this.#marks = marks;
    this.#outbox = new Outbox(root.dataset.routine, root.dataset.marks, () => this.#tellUnsent());
    this.#pace = new Pace(root.dataset.language);
    root.querySelector("[data-part=foot]").removeAttribute("data-waits");
    root.addEventListener("click", (event) => this.#onClick(event));
    this.#outbox.send();
    addEventListener("online", () => this.#outbox.send());
    this.#show();
  }

  /** Does what a key asks for; whether it meant anything. */
  act(action) {
    const acts = {
      next: () => this.#next(),
      back: () => this.#back(),
      more: () => this.#course.more(),
    };
    if (this.#running) this.#endRun();
    else if (action in acts) acts[action]();
    else this.#mark(action);
    this.#pace.wake();
    this.#show();
  }

  end() {
    this.#pace.stop();
  }

  #onClick(event) {
    const button = event.target.closest("button");
    if (!button) return;
    this.#pace.wake();
    if (button.dataset.how) this.act(button.dataset.how);
    else if (button.dataset.do === "pace") this.#turnPace();
    else if (button.dataset.do === "run") this.#run();
    else if (button.dataset.do) this.act(button.dataset.do);
  }

  // With the words in view again, going on says that it sat: one pedal is enough.
  #next() {
    if (this.#course.looks) this.#mark("sat");
    else this.#course.next();
  }

  #mark(how) {
    if (!this.#course.asks) return;
    const { sentence, step } = this.#course.mark(how);
    const text = this.#lines[sentence].querySelector(".learn-words").textContent;
    this.#marks.push(this.#outbox.keep({ text, how, step }));
  }

  #back() {
    if (this.#course.back()) this.#outbox.takeBack(this.#marks.pop());
  }

  #show() {
    const { now, isOver, asks, looks } = this.#course;
    this.#lines.forEach((line, sentence) => {
      line.dataset.step = this.#course.stepOf(sentence);
      line.toggleAttribute("data-now", now?.sentence === sentence);
    });
    this.#part("hows").hidden = !asks;
    this.#part("hows").querySelector("[data-how=sat]").classList.toggle("quiet", !looks);
    this.#button("next").hidden = isOver || looks;
    this.#button("next").textContent = asks ? "Show the words" : "Next";
    this.#button("more").hidden = isOver || looks || this.#course.step === 0;
    this.#button("back").disabled = !this.#course.canGoBack;
    this.#button("pace").textContent = PACE_WORDS[this.#paced];
    this.#button("pace").setAttribute("aria-pressed", String(this.#paced !== "off"));
    this.#part("step").textContent = now === null ? "" : stepWords(this.#course);
    this.#root.querySelector(".learn-over").hidden = !isOver;
    if (isOver) this.#pace.stop();
    if (isOver) showOver(this.#root, this.#course.marked);
    else this.#showLine(this.#lines[now.sentence]);
    this.#tellUnsent();
    markStep(now?.step);
    const none = { way: [], marks: [] };
    keepPlace(listOf(this.#lines), isOver ? none : { way: this.#course.way, marks: this.#marks });
  }

  #showLine(line) {
    line.scrollIntoView({ block: "start", behavior: "instant" });
    this.#pace.stop();
    if (this.#paced === "off" || this.#course.looks) return;
    const bar = line.querySelector(".learn-pace");
    this.#pace.run(bar, Number(line.dataset.seconds), { withTone: this.#paced === "tone" });
  }

  // The whole segment at its planned pace: the line moves on by itself.
  #run() {
    this.#running = true;
    const lines = [...this.#root.querySelectorAll(".learn-line")];
    runThrough(lines, this.#pace, () => this.#paced === "tone", () => {
      this.#endRun();
      this.#show();
    });
  }

  #endRun() {
    this.#running = false;
    this.#pace.stop();
  }

  #turnPace() {
    this.#paced = turnedPace(this.#paced);
    this.#show();
  }

  #tellUnsent() {
    this.#part("unsent").textContent = unsentWords(this.#outbox?.unsent ?? 0);
  }

  #part(name) {
    return this.#root.querySelector(`[data-part=${name}]`);
  }

  #button(what) {
    return this.#root.querySelector(`button[data-do=${what}]`);
  }
}
