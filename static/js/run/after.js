// Waiting.

/** Resolves after so many milliseconds. */
export function after(ms) {
  return new Promise((resolve) => {
    setTimeout(resolve, ms);
  });
}
