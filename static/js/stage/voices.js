// Which of the device's voices speaks. Pure.

/**
 * The voice for a language ("en"); null when there is none. One that works without a network comes
 * first, then the device's own choice. For "other" the device's own voice speaks.
 */
export function voiceFor(voices, language) {
  const fitting = language === "other" ? [...voices] : voices.filter((v) => speaks(v, language));
  const worth = (voice) => (voice.localService ? 2 : 0) + (voice.default ? 1 : 0);
  return fitting.reduce((best, each) => (best && worth(best) >= worth(each) ? best : each), null);
}

// Android writes en_GB where others write en-GB.
function speaks(voice, language) {
  return voice.lang.toLowerCase().split(/[-_]/)[0] === language;
}
