// A segment from line to line at its planned pace.

/**
 * Marks each of `lines` for as long as it is planned. `withTone()` says whether that is heard;
 * `onEnd` is called when the last is over.
 */
export function runThrough(lines, pace, withTone, onEnd) {
  const go = (place) => {
    for (const line of lines) line.toggleAttribute("data-now", line === lines[place]);
    if (place >= lines.length) return onEnd();
    lines[place].scrollIntoView({ block: "start", behavior: "instant" });
    const bar = lines[place].querySelector(".learn-pace");
    const then = () => go(place + 1);
    pace.run(bar, Number(lines[place].dataset.planned), { withTone: withTone(), then });
  };
  go(0);
}
