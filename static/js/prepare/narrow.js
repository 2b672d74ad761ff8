// The plan of the bar on a narrow screen: the whole of it, or larger by a touch.

// From this width on all of it is drawn as it is; the same stands in the style sheet.
const LARGE_PX = 736;

// How far the larger plan is scrolled; null: the whole bar is shown.
let seen = null;

// On a narrow screen: the whole bar, or larger where somebody left it (`seen`).
export function showNarrow(root, box) {
  const views = root.querySelector("[data-views]");
  const [enlarge, whole] = views.querySelectorAll("button");
  const show = () => {
    views.hidden = box.clientWidth >= LARGE_PX;
    box.classList.toggle("whole", !views.hidden && seen === null);
    enlarge.hidden = seen !== null;
    whole.hidden = seen === null;
    if (seen !== null) box.scrollLeft = seen;
  };
  // So that the place at this share of the width comes into the middle.
  const enlargeAt = (share) => {
    seen = Math.max(0, share * LARGE_PX - box.clientWidth / 2);
    show();
  };
  enlarge.addEventListener("click", () => {
    enlargeAt(0.5);
    whole.focus({ preventScroll: true });
  });
  whole.addEventListener("click", () => {
    seen = null;
    show();
    enlarge.focus({ preventScroll: true });
  });
  // By a finger or mouse only: a key opens the thing that it is on.
  const touched = (event) => {
    if (!box.classList.contains("whole") || event.detail === 0) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    const frame = box.getBoundingClientRect();
    enlargeAt((event.clientX - frame.left) / frame.width);
  };
  box.addEventListener("click", touched, { capture: true });
  box.addEventListener("scroll", () => seen !== null && (seen = box.scrollLeft));
  // Turned, or a panel opened beside it.
  new ResizeObserver(show).observe(box);
  show();
}
