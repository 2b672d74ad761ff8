// The interval said before each run, and where that run ended.

import { clock } from "./words.js";
import { frame, runAxis, valueAxis } from "./look.js";

const held = (each) => each.total_s >= each.low_s && each.total_s <= each.high_s;

export const forecasts = {
  options(data, at, l) {
    const told = data.forecasts;
    const ends = told.flatMap((each) => [each.low_s, each.high_s, each.total_s]);
    const band = { type: "bar", stack: "band", silent: true, barCategoryGap: "15%" };
    return {
      ...frame(l),
      xAxis: runAxis(l, told.map(({ day }) => day)),
      yAxis: valueAxis(l, clock, {
        min: Math.floor((Math.min(...ends, data.target_s) - 5) / 10) * 10,
        max: Math.ceil((Math.max(...ends, data.slot_s) + 5) / 10) * 10,
      }),
      series: [
        { ...band, data: told.map((each) => each.low_s), itemStyle: { color: "transparent" } },
        {
          ...band,
          data: told.map((each) => each.high_s - each.low_s),
          itemStyle: { color: l.wash, borderColor: l.accent, borderWidth: 1 },
        },
        {
          type: "line",
          silent: true,
          showAllSymbol: true,
          z: 4,
          data: told.map((each) => ({
            value: each.total_s,
            symbol: held(each) ? "circle" : "rect",
            symbolSize: held(each) ? 7 : 11,
            itemStyle: { color: held(each) ? l.ink : l.brass },
          })),
          lineStyle: { width: 0 },
          markLine: {
            symbol: "none",
            silent: true,
            label: {
              position: "insideEndTop",
              color: l.ink,
              backgroundColor: l.sheet,
              padding: [1, 4],
              fontSize: 16,
              formatter: "{b}",
            },
            data: [
              { name: "slot", yAxis: data.slot_s, lineStyle: { color: l.ink, width: 3, type: "solid" } },
              { name: "target", yAxis: data.target_s, lineStyle: { color: l.ink, width: 1.5, type: [8, 4] } },
            ],
          },
        },
      ],
    };
  },

  read(data, at, x) {
    const each = data.forecasts[Math.round(x)];
    if (!each) return null;
    return {
      text: `Before ${each.name}: between ${clock(each.low_s)} and ${clock(each.high_s)}; ${each.inside} were expected inside the slot. It ended at ${clock(each.total_s)}.`,
    };
  },
};
