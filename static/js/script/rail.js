// The rail beside the script: a row for each segment, drawn by the server.

/** Marks the row of the segment in view, and gives each section the drink that its row has. */
export function markRail(root, sections, id) {
  for (const row of root.querySelectorAll(".rail [data-row]")) {
    const mark = row.querySelector(".rail-row");
    giveDrink(row, sections);
    if (row.dataset.row === id) mark.setAttribute("aria-current", "true");
    else mark.removeAttribute("aria-current");
    if (row.dataset.row === id) row.scrollIntoView({ block: "nearest", inline: "nearest" });
  }
}

// The drink of a segment may have been chosen anew.
function giveDrink(row, sections) {
  const section = sections.find((each) => each.dataset.segment === row.dataset.row);
  const drink = [...row.classList].find((each) => each.includes("drink"));
  if (drink) section.className = `said ${drink}`;
}
