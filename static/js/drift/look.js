// Colours and lettering of the pictures: those of the page, read from its tokens.

export function look() {
  const style = getComputedStyle(document.documentElement);
  const token = (name) => style.getPropertyValue(name).trim();
  return {
    ink: token("--ink"),
    soft: token("--ink-soft"),
    rule: token("--rule"),
    strong: token("--rule-strong"),
    accent: token("--accent"),
    wash: token("--accent-wash"),
    brass: token("--brass"),
    brassWash: token("--brass-wash"),
    sheet: token("--sheet"),
    font: token("--font"),
  };
}

// The parts that all pictures share.
export function frame(l, more = {}) {
  return {
    textStyle: { fontFamily: l.font, fontSize: 16, color: l.ink },
    grid: { left: 70, right: 18, top: 16, bottom: 36, ...more.grid },
  };
}

export function valueAxis(l, format, more = {}) {
  return {
    type: "value",
    scale: true,
    axisLabel: { formatter: format, color: l.soft, fontSize: 16, showMinLabel: !("min" in more), showMaxLabel: !("max" in more) },
    axisLine: { show: true, lineStyle: { color: l.strong } },
    axisTick: { show: true },
    splitLine: { lineStyle: { color: l.rule } },
    splitNumber: 4,
    ...more,
  };
}

export function runAxis(l, names) {
  return {
    type: "category",
    data: names.map(String),
    axisLabel: { color: l.soft, fontSize: 16, hideOverlap: true },
    axisLine: { lineStyle: { color: l.strong }, onZero: false },
    axisTick: { show: false },
  };
}
