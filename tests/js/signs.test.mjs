// What is said of marks that the server does not take from whoever is here.

import assert from "node:assert/strict";
import { test } from "node:test";

import { signsOf, unsentWords } from "../../static/js/run/signs.js";

const SHUT = [{ events: [1, 2], trouble: "shut" }];

test("who is shut out is told as a device, or as a person where people have accounts", () => {
  const why = (person) => unsentWords(SHUT, person).match(/\((.*)\)/)[1];
  assert.equal(why(undefined), "this device is not let in");
  assert.equal(why(""), "nobody is signed in");
  assert.equal(why("p1"), "the run is not open to you now");
});

test("the stage says in the server's words who is not let in", () => {
  const sender = { trouble: "shut", message: "You are not signed in.", refused: 0 };
  const seen = { unsent: 2, kept: 0, sender, wake: {}, isStored: true, musicState: "" };
  assert.equal(signsOf(seen).notice, "You are not signed in.");
});
