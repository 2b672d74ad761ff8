// A sentence at the foot of the page when something outside the page went wrong.

const SHOWN_MS = 8000;
let timer;

export function showTrouble(sentence) {
  const box = document.getElementById("trouble");
  box.textContent = sentence;
  box.hidden = false;
  clearTimeout(timer);
  timer = setTimeout(() => { box.hidden = true; }, SHOWN_MS);
}
