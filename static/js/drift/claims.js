// Claims said, said wrong and missed in each run.

import { frame, runAxis, valueAxis } from "./look.js";

const KINDS = [
  ["heard", "said"],
  ["wrong", "said wrong"],
  ["missed", "missed"],
];

export const claims = {
  options(data, at, l) {
    const styles = {
      heard: { color: l.accent },
      wrong: { color: l.brass },
      missed: { color: l.sheet, borderColor: l.ink, borderWidth: 2 },
    };
    return {
      ...frame(l, { grid: { top: 40 } }),
      legend: { top: 0, left: 0, selectedMode: false, textStyle: { color: l.ink, fontSize: 16 } },
      xAxis: runAxis(l, data.claims.map(({ day }) => day)),
      yAxis: valueAxis(l, String, { scale: false, minInterval: 1 }),
      series: KINDS.map(([key, name]) => ({
        type: "bar",
        stack: "claims",
        name,
        silent: true,
        itemStyle: styles[key],
        data: data.claims.map((each) => each[key]),
      })),
    };
  },

  read(data, at, x) {
    const each = data.claims[Math.round(x)];
    if (!each) return null;
    const words = KINDS.map(([key, name]) => `${each[key]} ${name}`).join(", ");
    return { text: `${each.name}: ${words}.` };
  },
};
