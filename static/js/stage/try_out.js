// A try-out: the same stage without a run. What is marked lives in memory and nowhere else, and no
// request tells anybody of it.

/** Stands where a run's marks are kept; keeps nothing. */
export const NOWHERE = {
  all: () => [],
  put: () => true,
  remove: () => {},
  onForeign: () => {},
};

/** Stands where a run's marks are sent; has nothing to send and nobody to ask. */
export const NOBODY = {
  state: { trouble: null, message: "", refused: 0 },
  kick: () => {},
  farewell: () => {},
  fetchKnown: async () => {},
  look: async () => {},
};
