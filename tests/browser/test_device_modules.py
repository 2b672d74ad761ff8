"""What a device keeps and how it sends it, module by module, in a real browser."""

import pytest

TAKES_AFTER_A_LOSS = """async () => {
  const opened = [];
  const { open } = IDBFactory.prototype;
  IDBFactory.prototype.open = function (...args) {
    const request = open.apply(this, args);
    request.addEventListener("success", () => opened.push(request.result));
    return request;
  };
  const { TakeStore } = await import("/static/js/stage/recorder_store.js");
  const store = new TakeStore();
  await store.save({ id: "before", run_id: "r", size_bytes: 1 });
  opened[0].close();
  await store.add({ id: "after", run_id: "r", size_bytes: 1 }, 0, new ArrayBuffer(1));
  return (await store.all()).map((take) => take.id).sort();
}"""

# Sends events 0 to 4, of which the server refuses number 2, then ten more; tells the size of each
# batch of the ten, and which events were acknowledged.
SIZES_AFTER_A_REFUSAL = """async () => {
  const { Sender } = await import("/static/js/stage/sender.js");
  const events = (from, until) =>
    Array.from({ length: until - from }, (_, at) => ({ id: `e${from + at}`, seq: from + at }));
  const sizes = [];
  const told = (status, body) => new Response(JSON.stringify(body), { status });
  window.fetch = async (url, { body }) => {
    const ids = JSON.parse(body).events.map((event) => event.id);
    sizes.push(ids.length);
    if (ids.includes("e2")) return told(422, { error: { message: "no such segment" } });
    return told(200, { accepted: ids, differing: [], takeovers: [] });
  };
  const kept = new Set();
  const journal = {
    all: events(0, 5),
    get pending() { return this.all.filter(({ id }) => !kept.has(id)); },
    acknowledge(ids) { for (const id of ids) kept.add(id); },
  };
  const sendAll = (most) => new Promise((resolve) => {
    sent = () => { if (kept.size === most) resolve(); };
    sender.kick();
  });
  let sent;
  const sender = new Sender("/api", journal, { deviceId: "d", onChange: () => sent() });
  await sendAll(4);
  await new Promise(requestAnimationFrame);
  sizes.length = 0;
  journal.all.push(...events(5, 15));
  await sendAll(14);
  return { sizes, refused: sender.state };
}"""

REVOKED = """async () => {
  window.revoked = [];
  const { revokeObjectURL } = URL;
  URL.revokeObjectURL = (url) => { window.revoked.push(url); revokeObjectURL.call(URL, url); };
  const { saveMarks } = await import("/static/js/stage/download.js");
  saveMarks("run-1", [{ id: "e1", kind: "start" }]);
}"""


@pytest.fixture
def page(page):
    page.goto("/offline")
    return page


def test_the_store_of_recordings_opens_a_lost_connection_anew(page):
    assert page.evaluate(TAKES_AFTER_A_LOSS) == ["after", "before"]


def test_after_a_refused_mark_the_others_go_in_batches_again(page):
    told = page.evaluate(SIZES_AFTER_A_REFUSAL)
    assert told["sizes"] == [4, 6]
    assert told["refused"] == {"trouble": "refused", "message": "no such segment", "refused": 1}


def test_a_file_that_is_saved_keeps_its_address_for_a_minute(page):
    page.clock.install()
    with page.expect_download() as download:
        page.evaluate(REVOKED)
    assert download.value.suggested_filename == "run-run-1.json"
    assert page.evaluate("window.revoked") == []
    page.clock.fast_forward(60_000)
    assert len(page.evaluate("window.revoked")) == 1
