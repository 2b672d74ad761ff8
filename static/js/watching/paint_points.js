// Puts the points that this device gives on the page for watching.

import { write } from "../run/nodes.js";
import { pointsRow } from "./watch_rows.js";
import { pointsView } from "./watch_view.js";

export class PointsPainter {
  #data;
  #parts;
  #deviceId;

  constructor(data, parts, deviceId) {
    this.#data = data;
    this.#parts = parts;
    this.#deviceId = deviceId;
    const { rows } = pointsView(data, { scores: [] }, deviceId);
    parts["points-frame"].hidden = rows.length === 0;
    parts["points-rows"].replaceChildren(...rows.map(pointsRow));
  }

  paint(state) {
    const { rows, sum } = pointsView(this.#data, state, this.#deviceId);
    for (const { id, points } of rows) {
      const input = this.#parts["points-rows"].querySelector(`[data-criterion="${id}"]`);
      const isBeingTyped = input === document.activeElement || input.matches("[aria-invalid=true]");
      if (!isBeingTyped) input.value = points === null ? "" : String(points);
    }
    write(this.#parts["points-sum"], sum);
  }
}
