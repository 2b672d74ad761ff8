"""What is heard on stage: time calls at the marks of the rule sheet, and the count-in."""

import pytest

from tests.browser.stage_page import StagePage, new_run
from tests.thorough import few

# A browser with voices that notes down what is spoken and with which tone anything sounds.
LISTENING = """
window.heard = [];
window.tones = [];
const voice = (name, lang, localService = true) => ({ name, lang, localService, default: false });
window.voices = [voice("Anna", "de-DE"), voice("Far", "en-US", false), voice("Mary", "en_GB")];
Object.defineProperty(window, "speechSynthesis", { value: {
  getVoices: () => voices,
  cancel: () => heard.push("(hush)"),
  speak: (spoken) => heard.push(
    spoken.text ? `${spoken.voice.name}: ${spoken.text} at ${spoken.volume}` : "(nothing)",
  ),
  addEventListener: () => {},
} });
window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
const start = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function (at) {
  tones.push(this.frequency.value);
  start.call(this, at);
};
"""
CALL_HZ, TICK_HZ, GO_HZ = 880, 660, 990


@pytest.fixture
def stage(page, base_url, desk):
    page.add_init_script(LISTENING)
    return StagePage(page, base_url, new_run(desk)).open()


def spoken(page):
    return [words for words in page.evaluate("heard") if not words.startswith("(")]


def to_first_call(stage, *, before_s=1.0):
    """Start, and wait until shortly before the first time call."""
    stage.press("PageDown")
    stage.wait(stage.data["rules"]["time_calls"][0]["at_s"] - before_s)


def first_words(stage):
    return stage.data["rules"]["time_calls"][0]["words"]


def test_time_call_is_shown_for_eight_seconds_and_spoken_once(stage, page):
    stage.set_up("spoken")
    to_first_call(stage)
    assert not stage.part("call").is_visible()
    page.clock.run_for(1500)
    assert stage.text("call") == first_words(stage)
    assert spoken(page) == [f"Mary: {first_words(stage)} at 0.8"]
    assert page.locator("[data-part=spoken]").text_content() == first_words(stage)
    stage.wait(8)
    assert not stage.part("call").is_visible()
    assert len(spoken(page)) == 1


@pytest.mark.thorough
def test_each_call_of_the_rule_sheet_is_spoken_at_its_mark(stage, page):
    stage.set_up("spoken")
    stage.press("PageDown")
    elapsed_s = 0.0
    for call in stage.data["rules"]["time_calls"]:
        stage.wait(call["at_s"] - elapsed_s - 1)
        before = len(spoken(page))
        page.clock.run_for(1200)
        elapsed_s = call["at_s"] + 0.3
        assert len(spoken(page)) == before + 1
        assert call["words"] in spoken(page)[-1]


def test_whole_edge_of_the_screen_shows_a_call_also_on_a_silent_device(stage, page):
    to_first_call(stage)
    edge = "getComputedStyle(document.body, '::after').borderTopStyle"
    assert page.evaluate(edge) == "none"
    page.clock.run_for(1500)
    assert page.evaluate(edge) == "solid"
    assert spoken(page) == page.evaluate("tones") == []


@pytest.mark.thorough
def test_call_sounds_as_two_beeps(stage, page):
    stage.set_up("with a tone")
    to_first_call(stage)
    page.clock.run_for(1500)
    assert page.evaluate("tones") == [CALL_HZ, CALL_HZ]


def test_without_a_voice_of_the_language_a_tone_sounds_and_the_panel_says_so(stage, page):
    page.evaluate("voices.splice(1)")
    stage.set_up("spoken")
    assert "This device has no voice for English" in stage.part("voice-words").text_content()
    to_first_call(stage)
    page.clock.run_for(1500)
    assert (spoken(page), page.evaluate("tones")) == ([], [CALL_HZ, CALL_HZ])


@pytest.mark.thorough
def test_when_speaking_fails_the_tone_sounds(stage, page):
    page.evaluate(
        """() => {
          speechSynthesis.speak = (it) => it.onerror?.({ error: "synthesis-failed" });
        }"""
    )
    stage.set_up("spoken")
    to_first_call(stage)
    page.clock.run_for(1500)
    assert page.evaluate("tones") == [CALL_HZ, CALL_HZ]


def test_call_that_passed_during_a_sleep_or_a_reload_is_not_called_late(stage, page):
    stage.set_up("spoken")
    to_first_call(stage, before_s=30)
    stage.wait(60)
    assert spoken(page) == []
    stage.reload()
    page.clock.run_for(1500)
    assert spoken(page) == []


@pytest.mark.thorough
def test_call_that_was_spoken_before_a_reload_is_not_spoken_again(stage, page):
    stage.set_up("spoken")
    to_first_call(stage)
    page.clock.run_for(1500)
    stage.reload()
    page.clock.run_for(1500)
    assert spoken(page) == []


@pytest.mark.thorough
def test_leave_to_speak_is_asked_for_within_a_press_and_only_where_it_is_needed(stage, page):
    stage.press("PageDown")
    assert page.evaluate("heard") == []
    stage.reload()
    stage.page.evaluate("localStorage['ninefifty.calls'] = 'voice'")
    stage.wait(1)
    stage.press("PageDown")
    stage.wait(1)
    stage.press("PageDown")
    assert page.evaluate("heard") == ["(nothing)"]


@pytest.mark.thorough
def test_call_can_be_tried_out_at_the_loudness_that_was_chosen(stage, page):
    stage.set_up("spoken")
    page.get_by_role("button", name="Set up this device").click()
    page.get_by_label("Loudness of calls and count-in").fill("35")
    page.get_by_role("button", name="Hear a call").click()
    assert spoken(page) == [f"Mary: {first_words(stage)} at 0.35"]


@pytest.mark.parametrize(
    ("language", "name"),
    few([("en", "Mary"), ("de", "Anna"), ("pt", None), ("other", "Anna")], 2),
)
def test_voice_speaks_the_language_of_the_routine_and_needs_no_network(page, language, name):
    page.add_init_script(LISTENING)
    page.goto("/")
    found = page.evaluate(
        """async (language) =>
        (await import("/static/js/stage/voices.js")).voiceFor(voices, language)""",
        language,
    )
    assert (found and found["name"]) == name


# The count-in


def test_clock_starts_at_the_end_of_the_count_in_to_the_millisecond(stage, page, server):
    stage.set_up("5 s")
    page.clock.run_for(1000)
    pressed = page.evaluate("[Date.now(), performance.now()]")
    page.keyboard.press("PageDown")
    page.clock.run_for(4900)
    assert (stage.view, stage.text("count-in-digits")) == ("waiting", "1")
    page.clock.run_for(200)
    stage.catch_up()
    assert stage.view == "running"
    stage.wait_until_sent()
    (start,) = stage.server_events(server.url)
    assert start["wall_ms"] - pressed[0] == 5000
    assert start["mono_ms"] - pressed[1] == pytest.approx(5000, abs=1)


@pytest.mark.thorough
def test_late_timer_does_not_start_the_clock_late(stage, page, server):
    stage.set_up("3 s")
    page.keyboard.press("PageDown")
    page.clock.run_for(2500)
    page.clock.fast_forward(1400)  # the browser was busy: the timer fires 0.9 s too late
    stage.catch_up()
    assert stage.text("elapsed") == "0:00"
    stage.wait(0.1)
    assert stage.text("elapsed") == "0:01"


@pytest.mark.thorough
def test_count_in_is_ticked_and_its_end_is_heard(stage, page):
    stage.set_up("3 s")
    stage.press("PageDown")
    page.clock.run_for(3100)
    assert page.evaluate("tones") == [TICK_HZ, TICK_HZ, TICK_HZ, GO_HZ]
    assert spoken(page) == []


@pytest.mark.thorough
def test_count_in_can_be_counted_aloud(stage, page):
    stage.set_up("3 s", "counted aloud")
    stage.press("PageDown")
    page.clock.run_for(3100)
    assert [words.split(" ")[1] for words in spoken(page)] == ["3", "2", "1"]


@pytest.mark.parametrize("key", few(["PageUp", "Escape", "ArrowLeft"]))
def test_count_in_is_called_off_by_undo_and_the_clock_does_not_start(stage, page, key):
    stage.set_up("5 s")
    stage.press("PageDown")
    page.clock.run_for(2000)
    stage.press(key)
    page.clock.run_for(6000)
    assert not stage.part("count-in").is_visible()
    assert stage.view == "waiting"
    stage.press("PageDown")
    assert stage.text("count-in-digits") == "5"


@pytest.mark.thorough
def test_count_in_is_called_off_by_touch(stage, page):
    stage.set_up("10 s")
    page.get_by_role("button", name="Start").click()
    stage.catch_up()
    page.get_by_role("button", name="Call it off").click()
    page.clock.run_for(11_000)
    assert stage.view == "waiting"


@pytest.mark.thorough
def test_second_press_during_the_count_in_starts_nothing(stage, page, server):
    stage.set_up("3 s")
    stage.press("PageDown")
    page.clock.run_for(1000)
    stage.press("PageDown")
    page.clock.run_for(2500)
    stage.catch_up()
    assert stage.text("now-name") == "Grind"
    stage.wait_until_sent()
    assert [event["kind"] for event in stage.server_events(server.url)] == ["start"]


def test_device_that_slept_through_the_count_in_has_not_started(stage, page):
    stage.set_up("3 s")
    stage.press("PageDown")
    page.clock.fast_forward(60_000)
    stage.catch_up()
    assert stage.view == "waiting"
    assert not stage.part("count-in").is_visible()


@pytest.mark.thorough
def test_count_in_is_kept_on_the_device(stage):
    stage.set_up("5 s")
    stage.reload()
    assert "count-in of 5 s" in stage.text("device-words")
