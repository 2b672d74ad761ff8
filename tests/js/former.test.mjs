// What a browser keeps of the pages of whoever was signed in at it before.

import assert from "node:assert/strict";
import { test } from "node:test";

import { forgetPages } from "../../static/js/frame/offline/caches.js";
import { forgetFormer } from "../../static/js/frame/offline/former.js";

const STAGE = "http://bar.lan/runs/r1/stage";
const CARDS = "http://bar.lan/routines/r1/learn/cards";
const SHELL = ["http://bar.lan/static/js/a.js", "http://bar.lan/offline"];

function browser(who) {
  const held = new Map([["ninefifty-1", new Set([STAGE, CARDS, ...SHELL])]]);
  const storage = new Map(who ? [["ninefifty-person", who]] : []);
  return {
    held: () => [...held.get("ninefifty-1")],
    storage: { getItem: (key) => storage.get(key) ?? null, setItem: (key, to) => storage.set(key, to) },
    caches: {
      keys: async () => [...held.keys()],
      open: async (name) => ({
        keys: async () => [...held.get(name)].map((url) => ({ url })),
        delete: async ({ url }) => held.get(name).delete(url),
      }),
    },
  };
}

const kept = async (before, now) => {
  const { storage, caches, held } = browser(before);
  await forgetFormer(now, storage, caches);
  assert.equal(storage.getItem("ninefifty-person"), now);
  return held();
};

test("no page stays of one who signed out, or whom another followed", async () => {
  assert.deepEqual(await kept("ada", ""), SHELL);
  assert.deepEqual(await kept("ada", "bea"), SHELL);
});

test("pages stay with whoever opened them, and where nobody has an account", async () => {
  assert.equal((await kept("ada", "ada")).length, 4);
  assert.equal((await kept("", "")).length, 4);
});

test("where the app asks who one is, stages and cue cards go, those of other apps stay", async () => {
  const { caches, held } = browser("");
  await forgetPages(caches);
  assert.deepEqual(held(), SHELL);
  const foreign = { ...caches, keys: async () => ["another-app"], open: () => assert.fail("opened") };
  await forgetPages(foreign);
  await forgetPages(undefined);
});
