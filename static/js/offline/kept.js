// The stages that this device keeps, latest first, as links.

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const STAGE = /\/runs\/[\w-]+\/stage$/;

/** Fills a list with a link to each kept stage; says that there is none where there is none. */
export async function showKept(list) {
  const stages = await keptStages();
  if (stages.length > 0) list.replaceChildren(...stages.map(lineOf));
}

async function keptStages() {
  if (!("caches" in window)) return [];
  const found = [];
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const { url } of await cache.keys()) {
      if (STAGE.test(url)) found.push({ url, answer: await cache.match(url) });
    }
  }
  return Promise.all(found.reverse().map(describe));
}

async function describe({ url, answer }) {
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const keptAt = new Date(answer.headers.get("Date") ?? NaN);
  return { url, title: page.title, kept: isNaN(keptAt) ? "" : moment(keptAt) };
}

// As the server writes a moment on every page: "24 Nov 2026, 14:05".
export function moment(at) {
  const two = (number) => String(number).padStart(2, "0");
  const month = MONTHS[at.getMonth()];
  return `${at.getDate()} ${month} ${at.getFullYear()}, ${two(at.getHours())}:${two(at.getMinutes())}`;
}

function lineOf({ url, title, kept }) {
  const line = document.createElement("li");
  line.className = "row-line";
  const link = document.createElement("a");
  link.className = "button";
  link.href = url;
  link.textContent = title;
  const when = document.createElement("span");
  when.textContent = kept && `opened ${kept}`;
  line.append(link, when);
  return line;
}
