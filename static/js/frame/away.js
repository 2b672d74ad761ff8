// Why a file of the app is neither shown nor heard: the store where files lie may be away for a
// while, and then the file is neither lost nor spoilt.

/** "gone" where nothing is at the address, "away" where it cannot be had just now, "" if it can. */
export async function whyNotHad(url) {
  try {
    const { ok, status } = await fetch(url, { headers: { Range: "bytes=0-0" } });
    if (ok) return "";
    return status < 500 ? "gone" : "away";
  } catch {
    return "away";
  }
}

/** Says it beside the file: of the signs in `box`, `data-not-had` names the one that is shown. */
export async function sayNotHad(box, url) {
  const why = await whyNotHad(url);
  for (const sign of box.querySelectorAll("[data-not-had]")) sign.hidden = sign.dataset.notHad !== why;
}
