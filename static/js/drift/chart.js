// One segment run by run, with its level, the limits of ordinary runs, and its plan.

import { clock } from "./words.js";
import { frame, runAxis, valueAxis } from "./look.js";

function level(value, l, type, color) {
  return { yAxis: value, lineStyle: { type, color, width: 1.5 }, label: { show: false } };
}

export const chart = {
  options(data, at, l, chosen) {
    const { id, times_s, limits, signals, run_ids, planned_s, days } = data.charts[at];
    const lines = planned_s == null ? [] : [level(planned_s, l, [2, 3], l.accent)];
    if (limits) {
      lines.push(level(limits.center_s, l, "solid", l.soft));
      lines.push(level(limits.lower_s, l, [6, 4], l.soft), level(limits.upper_s, l, [6, 4], l.soft));
    }
    const all = [...times_s, ...(limits ? [limits.lower_s, limits.upper_s] : []), planned_s ?? times_s[0]];
    const [low, high] = [Math.min(...all), Math.max(...all)];
    // A second is as high in the picture of one segment as in that of any other.
    const span = Math.max(4, (id === "total" ? high - low : data.span_s) * 1.16);
    const bottom = Math.max(0, (low + high - span) / 2);
    const isMarked = (n) => signals.includes(n) || chosen.has(run_ids[n]);
    return {
      ...frame(l, { grid: { left: 58, right: 12, top: 8, bottom: 28 } }),
      xAxis: runAxis(l, days),
      yAxis: valueAxis(l, clock, {
        min: Math.floor(bottom),
        max: Math.ceil(bottom + span),
        splitNumber: 2,
      }),
      series: [
        {
          type: "line",
          silent: true,
          // Or the library leaves out those that have no label on the axis, marked ones among them.
          showAllSymbol: true,
          data: times_s.map((value, n) => ({
            value,
            symbol: signals.includes(n) ? "rect" : "circle",
            symbolSize: isMarked(n) ? 10 : 5,
            itemStyle: { color: signals.includes(n) || chosen.has(run_ids[n]) ? l.brass : l.ink },
          })),
          lineStyle: { color: l.strong, width: 1 },
          markLine: { symbol: "none", silent: true, data: lines },
        },
      ],
    };
  },

  read(data, at, x) {
    const { name, runs, run_ids, times_s, signals } = data.charts[at];
    const n = Math.round(x);
    if (n < 0 || n >= runs.length) return null;
    const title = name === "the whole routine" ? "The whole routine" : `“${name}”`;
    const out = signals.includes(n) ? ", out of the ordinary" : "";
    return { runId: run_ids[n], text: `${title}, ${runs[n]}: ${clock(times_s[n])}${out}.` };
  },
};
