// What only some pages need: a module is asked for where its element is first on the page. From then
// on it is told of every page, so that it can also let go of the one before. Such a module is named
// in the page's {% block scripts %} as well.

import { showTrouble } from "./trouble.js";

// Listens on the document for whatever comes.
const ONCE = true;

const ROOMS = [
  ["[data-sortable]", () => import("./sortable.js"), "connectSortables"],
  ["input[type=file][data-most]", () => import("./file_size.js"), "connectFileSize"],
  ["svg[data-held]", () => import("../plan/blocks.js"), "connectBlocks"],
  ["details.legend, svg[data-held], form[data-stays]", () => import("../plan/panel.js"), "connectPanel"],
  ["form[data-script]", () => import("../script/editor.js"), "connectScript"],
  ["select[data-library]", () => import("../drinks/library.js"), "connectLibrary", ONCE],
  ["[data-kit]", () => import("../prepare/kit.js"), "connectKit"],
  [".prep-count[data-due]", () => import("../prepare/countdown.js"), "connectCountdown"],
  [".station-photograph img", () => import("../prepare/photograph.js"), "connectPhotograph"],
  [".station-plan svg", () => import("../prepare/station.js"), "connectStation"],
  ["[data-learn], [data-learn-say]", () => import("../learn/connect.js"), "connectLearning"],
  ["audio[data-track]", () => import("../stage/track.js"), "connectTrack"],
  ["[data-player]", () => import("../runs/player.js"), "connectPlayers", ONCE],
  ["[data-pictures]", () => import("../drift/pictures.js"), "connectPictures"],
  ["[data-take], [data-take-sound]", () => import("../heard/take.js"), "connectTake"],
];

const connectors = new Map();
const asked = new Set();
const coming = new Set();

/**
 * Connects what the page holds; what was connected before is told that the page is another. The
 * page says `data-connecting` on its first element until all that it needs is there.
 */
export function connectRooms(root) {
  for (const [element, load, name, once] of ROOMS) {
    if (connectors.has(name)) {
      if (!once) connectors.get(name)(root);
    } else if (!asked.has(name) && root.querySelector(element)) ask(root, load, name);
  }
  tell(root);
}

async function ask(root, load, name) {
  asked.add(name);
  coming.add(name);
  try {
    const module = await load();
    connectors.set(name, module[name]);
    await module[name](root);
  } catch (fault) {
    if (connectors.has(name)) throw fault;
    // The next page asks again.
    asked.delete(name);
    showTrouble("A part of this page could not be loaded. Load the page again.");
  } finally {
    coming.delete(name);
    tell(root);
  }
}

function tell(root) {
  root.documentElement.toggleAttribute("data-connecting", coming.size > 0);
}
