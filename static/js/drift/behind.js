// Seconds behind or ahead of the plan over the slot, a line for each run, the last one strong.

import { apart } from "../run/words.js";
import { axisSeconds, clock } from "./words.js";
import { frame, valueAxis } from "./look.js";

function points(data, run) {
  const ends = data.segments.map((segment, at) => [segment.end_s, run.behind_s[at]]);
  return [[0, 0], ...ends];
}

function line(data, run, l, isLast, isChosen) {
  const width = isLast ? 3.5 : isChosen ? 2.5 : 1;
  const color = isLast ? l.ink : isChosen ? l.brass : l.strong;
  return {
    type: "line",
    name: run.name,
    data: points(data, run),
    connectNulls: true,
    symbol: isLast ? "circle" : isChosen ? "rect" : "none",
    symbolSize: 7,
    silent: true,
    clip: true,
    z: isLast ? 5 : isChosen ? 4 : 2,
    lineStyle: { width, color, type: isChosen && !isLast ? [8, 4] : "solid" },
    itemStyle: { color },
  };
}

export const behind = {
  options(data, at, l, chosen) {
    const last = data.runs.length - 1;
    const end = data.segments.at(-1)?.end_s ?? data.slot_s;
    return {
      ...frame(l, { grid: { left: 84, bottom: 40 } }),
      xAxis: valueAxis(l, clock, {
        min: 0,
        max: end,
        interval: Math.max(60, Math.ceil(end / 600) * 60),
        scale: false,
        axisLine: { onZero: false, lineStyle: { color: l.strong } },
        axisLabel: { formatter: clock, color: l.soft, fontSize: 16, hideOverlap: true, showMinLabel: true },
      }),
      yAxis: valueAxis(l, axisSeconds, {
        min: Math.floor((data.reach_s[0] - 2) / 5) * 5,
        max: Math.ceil((data.reach_s[1] + 2) / 5) * 5,
      }),
      series: [
        ...data.runs.map((run, n) => line(data, run, l, n === last, chosen.has(run.id))),
        {
          type: "line",
          data: [],
          markLine: {
            symbol: "none",
            silent: true,
            label: { formatter: "plan", fontSize: 16, position: "insideEndTop", color: l.soft },
            lineStyle: { color: l.accent, width: 2, type: "solid" },
            data: [{ yAxis: 0 }],
          },
        },
      ],
    };
  },

  read(data, at, x, y) {
    const near = data.segments
      .map((segment, n) => [Math.abs(segment.end_s - x), n])
      .sort((a, b) => a[0] - b[0])[0]?.[1];
    const known = data.runs.filter((run) => run.behind_s[near] != null);
    if (!known.length) return null;
    const off = (run) => Math.abs(run.behind_s[near] - y);
    const run = known.reduce((best, each) => (off(each) < off(best) ? each : best));
    const where = data.segments[near];
    return {
      runId: run.id,
      text: `${run.name}, ${clock(run.total_s)} in all. At the end of “${where.name}”: ${apart(1000 * run.behind_s[near], { more: "late", less: "early" })}.`,
    };
  },
};
