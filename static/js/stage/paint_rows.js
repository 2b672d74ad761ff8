// Rows and buttons that the painter makes. Decides nothing.

import { element, flag, hide, write } from "../run/nodes.js";

export function paintProcess(row, view) {
  const [button, words, figure] = row.children;
  const [head, bar, fallback] = words.children;
  const [, status] = head.children;
  const [digits, word] = figure.children;
  flag(row, "stage", view.stage);
  write(status, view.status);
  write(fallback, view.fallback);
  hide(fallback, view.fallback === "");
  // Where plan B is to be said there is no time left to read off a bar.
  hide(bar, view.bar === null || view.fallback !== "");
  if (view.bar) paintBar(bar, view.bar);
  write(digits, view.figure?.digits ?? "");
  write(word, view.figure?.word ?? "");
  flag(row, "late", String(view.figure?.isLate ?? false));
  hide(button, !view.canBeReady);
}

function paintBar(bar, { sure, now, due }) {
  bar.style.setProperty("--sure", sure.toFixed(3));
  bar.style.setProperty("--passed", now.toFixed(3));
  hide(bar.lastElementChild, due === null);
  bar.style.setProperty("--due", (due ?? 0).toFixed(3));
}

export function processRow(view) {
  const row = element("li", "");
  const button = element("button", "Ready", "ready");
  button.type = "button";
  button.dataset.do = "ready";
  button.dataset.process = view.id;
  button.setAttribute("aria-label", `${view.name} ready`);
  const words = element("div", "", "process-words");
  const head = fitted("p", "process-head");
  const name = element("b", view.name, "process-name");
  name.dir = "auto";
  name.dataset.words = "";
  head.append(name, element("span", "", "process-status"));
  words.append(head, processBar(), fitted("p", "process-fallback"));
  const figure = fitted("p", "process-figure", "width");
  figure.append(element("b", ""), element("span", ""));
  row.append(button, words, figure);
  row.style.setProperty("--lane", String(view.lane));
  return row;
}

function fitted(tag, className, how = "") {
  const node = element(tag, "", className);
  node.dataset.fit = how;
  return node;
}

// At work for sure, perhaps ready, now, and where it is needed: what it says, the words say too.
function processBar() {
  const bar = element("div", "", "process-bar");
  bar.setAttribute("aria-hidden", "true");
  bar.append(element("i", "", "process-sure"), element("i", "", "process-passed"), element("i", "", "process-needed"));
  return bar;
}

export function skipButton({ id, name }) {
  const button = element("button", name);
  button.type = "button";
  button.dataset.do = "skip-to";
  button.dataset.segment = id;
  return button;
}

export function incidentButton({ what, words }, index) {
  const button = element("button", words);
  button.type = "button";
  button.dataset.do = "record";
  button.dataset.what = what;
  button.prepend(element("kbd", String(index + 1)), " ");
  return button;
}

/** A row of the table after the run; with `again`, a button that practises from there on. */
export function tableRow({ id, name, plan, split, difference }, again) {
  const row = document.createElement("tr");
  const head = element("th", name);
  head.scope = "row";
  head.dir = "auto";
  row.append(head, element("td", plan), element("td", split), element("td", difference));
  if (again) row.append(againCell(id, name));
  return row;
}

function againCell(id, name) {
  const cell = element("td", "", "closed-again");
  const button = element("button", "Again from here", "plain");
  Object.assign(button, { name: "from", value: id });
  button.setAttribute("aria-label", `Again from here: ${name}`);
  cell.append(button);
  return cell;
}
