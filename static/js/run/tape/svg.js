// Elements of SVG, and the patterns that the tape's shapes are filled with.

const SVG = "http://www.w3.org/2000/svg";

/** The patterns that shapes are filled with. */
export function patterns(id) {
  const defs = element("defs");
  for (const name of ["hatch", "first", "second"]) {
    const pattern = element("pattern", {
      id: `${id}-${name}`,
      width: 7,
      height: 7,
      patternUnits: "userSpaceOnUse",
      patternTransform: "rotate(45)",
    });
    pattern.append(element("rect", { class: `tape-pattern-${name}`, width: 3, height: 7 }));
    defs.append(pattern);
  }
  return defs;
}

/** A text element with `words` in it. */
export function text(words, attributes) {
  const node = element("text", attributes);
  node.textContent = words;
  return node;
}

/** An element of SVG with attributes, not yet on the page. */
export function element(name, attributes = {}) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  return node;
}
