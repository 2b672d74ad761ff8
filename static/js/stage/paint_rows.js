// Rows and buttons that the painter makes. Decides nothing.

import { element, hide, note, write } from "../run/nodes.js";

export function paintProcess(row, view) {
  const [button, words, figure] = row.children;
  const [, status, fallback] = words.children;
  const [digits, word] = figure.children;
  note(row, "stage", view.stage);
  write(status, view.status);
  write(fallback, view.fallback);
  hide(fallback, view.fallback === "");
  write(digits, view.figure?.digits ?? "");
  write(word, view.figure?.word ?? "");
  note(row, "late", String(view.figure?.isLate ?? false));
  hide(button, !view.canBeReady);
  row.style.setProperty("--passed", String(view.fraction));
}

export function processRow(view) {
  const row = element("li", "");
  const button = element("button", "Ready", "ready");
  button.type = "button";
  button.dataset.do = "ready";
  button.dataset.process = view.id;
  button.setAttribute("aria-label", `${view.name} ready`);
  const words = element("div", "", "process-words");
  words.dataset.fit = "";
  words.append(
    element("b", view.name, "process-name"),
    element("span", "", "process-status"),
    element("p", "", "process-fallback"),
  );
  const figure = element("p", "", "process-figure");
  figure.dataset.fit = "";
  figure.append(element("b", ""), element("span", ""));
  row.append(button, words, figure);
  row.style.setProperty("--lane", String(view.lane));
  return row;
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

export function tableRow({ name, plan, split, difference }) {
  const row = document.createElement("tr");
  const head = element("th", name);
  head.scope = "row";
  row.append(head, element("td", plan), element("td", split), element("td", difference));
  return row;
}
