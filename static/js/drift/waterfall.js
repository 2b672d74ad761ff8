// From the planned total to that of the last run, a step for each segment.

import { apart } from "../run/words.js";
import { clock, signed } from "./words.js";
import { frame, runAxis, valueAxis } from "./look.js";

// Each bar from where the one before it ended; the first and the last stand on the ground.
function bars({ planned_s, total_s, steps }) {
  let at = planned_s;
  const made = steps.map(({ name, longer_s }) => {
    const from = at;
    at += longer_s;
    return { name, from, to: at, longer_s };
  });
  return [
    { name: "Plan", from: 0, to: planned_s },
    ...made,
    { name: "Last run", from: 0, to: total_s },
  ];
}

export const waterfall = {
  options(data, at, l) {
    const steps = bars(data.waterfall);
    const levels = steps.flatMap(({ from, to, longer_s }) => (longer_s == null ? [to] : [from, to]));
    const low = Math.min(...levels);
    const high = Math.max(...levels);
    const floor = Math.max(0, Math.floor((low - Math.max(2, (high - low) * 0.2)) / 5) * 5);
    const bar = { type: "bar", stack: "steps", silent: true, barCategoryGap: "20%" };
    const style = ({ longer_s }) =>
      longer_s == null
        ? { color: l.accent }
        : longer_s > 0
          ? { color: l.brass }
          : { color: l.sheet, borderColor: l.accent, borderWidth: 2 };
    return {
      ...frame(l, { grid: { top: 26, bottom: 34 } }),
      xAxis: runAxis(
        l,
        steps.map((step, n) => (step.longer_s == null ? step.name : n)),
      ),
      yAxis: valueAxis(l, clock, { min: floor, max: Math.ceil((high + 2) / 5) * 5 }),
      series: [
        {
          ...bar,
          data: steps.map(({ from, to }) => Math.min(from, to)),
          itemStyle: { color: "transparent" },
        },
        {
          ...bar,
          data: steps.map((step) => ({
            value: Math.abs(step.to - step.from),
            itemStyle: style(step),
            label: {
              show: true,
              position: "top",
              color: l.ink,
              fontSize: 16,
              formatter: step.longer_s == null ? clock(step.to) : signed(step.longer_s).replace(" s", ""),
            },
          })),
          labelLayout: { hideOverlap: true },
        },
      ],
    };
  },

  read(data, at, x) {
    const step = bars(data.waterfall)[Math.round(x)];
    if (!step) return null;
    if (step.longer_s == null) return { text: `${step.name}: ${clock(step.to)}.` };
    return { text: `${Math.round(x)}. ${step.name}: ${apart(1000 * step.longer_s)}.` };
  },
};
