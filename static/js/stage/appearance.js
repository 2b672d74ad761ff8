// How the stage looks on this device. Told to the style sheets in attributes of the page.

const LOOKS = ["ground", "print", "tape", "cues", "ahead", "letters"];

/** Shows what is preferred, now and whenever it changes. */
export function connectAppearance(preferences, parts, onChange) {
  const show = () => {
    for (const name of LOOKS) document.documentElement.dataset[name] = preferences.get(name);
    parts["cues-switch"].textContent = preferences.isOn("cues") ? "Hide cues" : "Show cues";
    onChange();
  };
  preferences.onChange((name) => {
    if (LOOKS.includes(name)) show();
  });
  show();
}
