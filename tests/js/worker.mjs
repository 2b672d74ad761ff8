// Calls modules of the app with plain values: a line of JSON in, {code, argument}, a line of JSON
// out. `code` is a function as it would be evaluated in a page, whose imports name served addresses.

import { createInterface } from "node:readline";

const load = (address) => import(new URL(`../..${address}`, import.meta.url));

for await (const line of createInterface({ input: process.stdin })) {
  const { code, argument } = JSON.parse(line);
  try {
    const call = new Function("load", `return (${code.replaceAll("import(", "load(")});`)(load);
    console.log(JSON.stringify({ value: (await call(argument)) ?? null }));
  } catch (error) {
    console.log(JSON.stringify({ error: String(error?.stack ?? error) }));
  }
}
