// The rows of the lists on the page for watching: built once, then brought up to date.

import { element, flag, write } from "../run/nodes.js";
import { VERDICTS } from "./claims_view.js";

export function claimRow(row) {
  const item = element("li", "", "claim");
  const words = element("div", "", "claim-words");
  words.append(element("b", row.label), element("span", row.about, "watch-about"), element("span", "", "watch-about against"));
  const buttons = element("div", "", "verdicts");
  buttons.setAttribute("role", "group");
  buttons.setAttribute("aria-label", row.label);
  buttons.append(
    ...VERDICTS.map(({ verdict, words: text }) => {
      const button = element("button", text);
      button.type = "button";
      Object.assign(button.dataset, { do: "tick", claim: row.key, verdict });
      return button;
    }),
  );
  item.append(words, buttons);
  return item;
}

export function paintClaim(item, row) {
  flag(item, "verdict", row.verdict ?? "");
  const against = item.querySelector(".against");
  write(against, row.against);
  against.hidden = !row.against;
  for (const button of item.querySelectorAll("button")) {
    button.setAttribute("aria-pressed", String(button.dataset.verdict === row.verdict));
  }
}

export function processRow() {
  const item = element("li", "", "process");
  item.append(element("b", ""), element("span", ""), element("span", "", "watch-about"));
  return item;
}

export function paintProcess(item, view) {
  const [name, status, due] = item.children;
  flag(item, "stage", view.stage);
  write(name, view.name);
  write(status, view.status);
  write(due, view.due ?? "");
}

export function remarkRow(line) {
  const item = element("li", "", "remark");
  const words = element("div", "", "remark-words");
  words.append(element("p", line.words), element("p", "", "watch-about"));
  for (const part of words.children) part.dir = "auto";
  item.append(element("b", line.at, "at"), words);
  if (line.own) {
    const back = element("button", "Take back");
    back.type = "button";
    Object.assign(back.dataset, { do: "back", id: line.id });
    back.setAttribute("aria-label", `Take back: ${line.words}`);
    item.append(back);
  }
  return item;
}

// What was noted about an incident may be written anew; and the segment follows from the marks,
// which may come late.
export function paintRemark(item, line) {
  const [words, about] = item.querySelectorAll(".remark-words p");
  write(words, line.words);
  write(about, [line.segment, line.who].filter(Boolean).join(" · "));
}

export function pointsRow({ id, name, most }) {
  const item = element("li", "", "points-row");
  const label = element("label", `${name} (0 to ${most})`);
  label.htmlFor = `points-${id}`;
  const input = element("input", "");
  Object.assign(input, { id: `points-${id}`, inputMode: "decimal", autocomplete: "off" });
  Object.assign(input.dataset, { criterion: id, most });
  input.setAttribute("aria-describedby", `points-${id}-fault`);
  const fault = element("p", "", "fault");
  Object.assign(fault, { id: `points-${id}-fault`, hidden: true });
  fault.dataset.fault = id;
  item.append(label, input, fault);
  return item;
}
