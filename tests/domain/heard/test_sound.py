"""Onsets of speech, from samples made for the purpose."""

import numpy as np
import pytest

from server.domain.heard.sound import onsets_in, onsets_s

RATE = 16_000


def tone(seconds, loud=0.3):
    at = np.arange(round(seconds * RATE)) / RATE
    return loud * np.sin(2 * np.pi * 180 * at)


def silence(seconds):
    return np.zeros(round(seconds * RATE))


def test_sound_after_silence_sets_in_where_it_begins():
    samples = np.concatenate((silence(1), tone(0.8), silence(2), tone(1), silence(0.5)))
    assert onsets_s(samples, RATE) == pytest.approx((1.0, 3.8), abs=0.06)


def test_a_gap_within_words_is_no_onset():
    samples = np.concatenate((silence(1), tone(0.5), silence(0.1), tone(0.5), silence(1)))
    assert len(onsets_s(samples, RATE)) == 1


def test_a_glass_set_down_is_no_onset():
    samples = np.concatenate((silence(1), tone(0.03), silence(1), tone(1), silence(1)))
    assert onsets_s(samples, RATE) == pytest.approx((2.03,), abs=0.06)


def test_speech_over_a_steady_hum_is_heard():
    hum = np.random.default_rng(1).normal(0, 0.01, 4 * RATE)
    samples = hum + np.concatenate((silence(1.5), tone(1), silence(1.5)))
    assert onsets_s(samples, RATE) == pytest.approx((1.5,), abs=0.06)


@pytest.mark.parametrize(
    "samples", [np.zeros(0), np.zeros(5), silence(3), np.full(RATE, np.nan), tone(0.001)]
)
def test_nothing_to_hear_has_no_onsets(samples):
    assert onsets_s(samples, RATE) == ()


def test_onsets_are_the_same_at_another_rate():
    samples = np.concatenate((silence(1), tone(0.8), silence(2)))
    assert onsets_s(samples[::2], RATE // 2) == pytest.approx(onsets_s(samples, RATE), abs=0.02)


def test_onsets_are_the_same_in_the_loudness_that_a_browser_tells():
    samples = np.concatenate((silence(1), tone(0.8), silence(2), tone(1, 0.02), silence(0.5)))
    size = RATE // 100
    rms = np.sqrt((samples[: len(samples) // size * size].reshape(-1, size) ** 2).mean(axis=1))
    told = bytes(
        int(np.clip(round(255 + 2.5 * 20 * np.log10(each + 1e-12)), 0, 255)) for each in rms
    )
    assert onsets_in(told) == pytest.approx(onsets_s(samples, RATE), abs=0.011)
    assert onsets_in(bytes(300)) == ()
