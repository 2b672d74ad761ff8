// Lists that fold. What somebody folds or unfolds stays so while the app is open, also where a tick
// or a panel draws the page anew; on a narrow screen only what comes next is unfolded.

const NARROW = "(max-width: 46rem)";
const chosen = new Map();

export function connectFolds(root) {
  const isNarrow = matchMedia(NARROW).matches;
  for (const fold of root.querySelectorAll("details[data-fold]")) {
    const name = `${location.pathname} ${fold.dataset.fold}`;
    if (chosen.has(name)) fold.open = chosen.get(name);
    else if (isNarrow && "narrowFolded" in fold.dataset) fold.open = false;
    fold.querySelector("summary").onclick = () => chosen.set(name, !fold.open);
  }
}
