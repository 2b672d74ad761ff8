// The pictures of drift: drawn from the page's data by a charting library that is loaded only here.
// Every picture has its figures as text on the page, so a page without script lacks none.

import { look } from "./look.js";
import { behind } from "./behind.js";
import { chart } from "./chart.js";
import { claims } from "./claims.js";
import { forecasts } from "./forecasts.js";
import { waterfall } from "./waterfall.js";

const LIBRARY = "/static/vendor/echarts-6.1.0.common.min.js";
const KINDS = { behind, chart, claims, forecasts, waterfall };
const NEAR_PX = 600;
// A sheet of A4 or Letter between its margins, whole and for three beside each other.
const PAPER_PX = 640;
const SMALL_ON_PAPER_PX = 200;

const drawn = new Map();
const chosen = new Set();
let sized;
let seen;

export async function connectPictures(root) {
  dropGone();
  const source = root.getElementById("drift-data");
  if (!source || source.dataset.read) return;
  source.dataset.read = "yes";
  chosen.clear();
  if (!globalThis.echarts) await import(LIBRARY);
  const data = JSON.parse(source.textContent);
  watch();
  for (const figure of root.querySelectorAll("[data-picture]")) {
    seen.observe(figure);
    figure.drift = { data, at: Number(figure.dataset.at ?? 0) };
  }
  connectPicks(root);
}

// A routine of forty segments has forty small pictures: each is drawn when it comes near.
function watch() {
  seen ??= new IntersectionObserver(drawSeen, { rootMargin: `${NEAR_PX}px` });
  if (sized) return;
  sized = new ResizeObserver((entries) => {
    for (const { target } of entries) {
      const picture = drawn.get(target.parentElement);
      if (!picture || matchMedia("print").matches) continue;
      resize(picture);
    }
  });
  addEventListener("beforeprint", () => {
    for (const figure of document.querySelectorAll("[data-picture]")) {
      draw(figure);
      const width = figure.matches(".small") ? SMALL_ON_PAPER_PX : PAPER_PX;
      resize(drawn.get(figure), { width });
    }
  });
  addEventListener("afterprint", () => {
    for (const picture of drawn.values()) resize(picture, { width: "auto" });
  });
}

function drawSeen(entries) {
  for (const { isIntersecting, target } of entries) if (isIntersecting) draw(target);
}

function draw(figure) {
  if (drawn.has(figure) || !figure.drift) return;
  const kind = KINDS[figure.dataset.picture];
  const place = figure.querySelector(".drawing");
  const picture = globalThis.echarts.init(place, null, { renderer: "svg" });
  drawn.set(figure, picture);
  seen.unobserve(figure);
  sized.observe(place);
  paint(figure);
  picture.getZr().flush();
  fit(picture);
  picture.getZr().on("click", (event) => {
    const point = [event.offsetX, event.offsetY];
    if (!picture.containPixel({ gridIndex: 0 }, point)) return;
    const [x, y] = picture.convertFromPixel({ gridIndex: 0 }, point);
    const { data, at } = figure.drift;
    const found = kind.read(data, at, x, y);
    if (found) tell(figure, found);
  });
}

function resize(picture, size) {
  picture.resize(size);
  picture.getZr().flush();
  fit(picture);
}

// On paper a picture is as wide as the sheet: it scales as a whole, lettering and all.
function fit(picture) {
  const box = `0 0 ${picture.getWidth()} ${picture.getHeight()}`;
  picture.getDom().querySelector("svg").setAttribute("viewBox", box);
}

function paint(figure) {
  const { data, at } = figure.drift;
  const options = KINDS[figure.dataset.picture].options(data, at, look(), chosen);
  drawn.get(figure).setOption({ animation: false, ...options }, true);
}

// What was tapped, in words; a run becomes one of the chosen, or stops being one.
function tell(figure, { text, runId }) {
  const readout =
    figure.querySelector(".readout") ??
    figure.closest("section").querySelector("[data-readout]");
  readout.textContent = text;
  if (!runId) return;
  const link = document.createElement("a");
  link.href = `/runs/${runId}`;
  link.textContent = "Open this run";
  readout.append(" ", link);
  toggle(runId);
}

function toggle(runId) {
  if (!chosen.delete(runId)) chosen.add(runId);
  const box = document.querySelector(`[data-run="${CSS.escape(runId)}"]`);
  if (box) box.checked = chosen.has(runId);
  for (const figure of drawn.keys()) paint(figure);
}

function connectPicks(root) {
  for (const box of root.querySelectorAll("[data-run]")) {
    if (box.checked) chosen.add(box.dataset.run);
    box.addEventListener("change", () => {
      if (box.checked !== chosen.has(box.dataset.run)) toggle(box.dataset.run);
    });
  }
}

function dropGone() {
  for (const [figure, picture] of drawn) {
    if (figure.isConnected) continue;
    sized.unobserve(picture.getDom());
    picture.dispose();
    drawn.delete(figure);
  }
}
