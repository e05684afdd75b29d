#!/usr/bin/env python3
"""Makes the words of the spoken count, a WAV file each, with espeak-ng's library.

    python3 assets/voice/make.py

A cue point, "vowel", marks where the vowel begins. What leads to it is kept well under
it, and the vowel is there at once, so that the place can be heard, and measured.
"""
import ctypes
import pathlib
import struct

RATE = 22050
PHONEME = 7  # espeakEVENT_PHONEME
VOWELS = "aeiouAEIOU03@&VQ"
PEAK = 0.62  # of full scale
LEAD = 0.30  # of the vowel's peak, what leads to it
MOST = 0.26  # seconds from the vowel on, at most
SPEED = 240  # words a minute: crisp
PITCH = 45

# Each word by what it is called in the count: plain text, or phonemes in [[ ]].
WORDS = {str(n): str(n) for n in list(range(1, 20)) + list(range(20, 100, 10))}
WORDS |= {
    "hundred": "hundred", "point": "point", "0": "oh", "rung": "rung", "bar": "bar",
    "and": "[['and]]", "e": "[['i:]]", "a": "[['V]]",
    "la": "[[l'A:]]", "li": "[[l'i:]]", "o": "[['oU]]", "tri": "[[tr'i:]]", "tam": "[[t'am]]",
    "ta": "[[t'A:]]", "ti": "[[t'i:]]", "te": "[[t'eI]]", "ka": "[[k'A:]]", "ki": "[[k'i:]]",
    "di": "[[d'i:]]", "da": "[[d'A:]]", "du": "[[d'u:]]", "de": "[[d'eI]]", "mi": "[[m'i:]]", "ma": "[[m'A:]]",
    "va": "[[v'A:]]", "be": "[[b'eI]]", "ba": "[[b'A:]]", "bi": "[[b'i:]]",
}


class Id(ctypes.Union):
    _fields_ = [("number", ctypes.c_int), ("name", ctypes.c_char_p), ("string", ctypes.c_char * 8)]


class Event(ctypes.Structure):
    _fields_ = [
        ("type", ctypes.c_int), ("unique", ctypes.c_uint), ("text", ctypes.c_int), ("length", ctypes.c_int),
        ("ms", ctypes.c_int), ("sample", ctypes.c_int), ("user", ctypes.c_void_p), ("id", Id),
    ]


Callback = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.POINTER(Event))


def engine():
    """Returns a function from a text to its samples and its phonemes with their places."""
    lib = ctypes.CDLL("libespeak-ng.so.1")
    samples, phonemes = [], []

    @Callback
    def hear(wave, n, events):
        if wave and n > 0:
            samples.extend(wave[:n])
        i = 0
        while events[i].type:
            if events[i].type == PHONEME:
                phonemes.append((events[i].sample, events[i].id.string.decode()))
            i += 1
        return 0

    if lib.espeak_Initialize(2, 0, None, 1) != RATE:
        raise SystemExit("espeak-ng speaks at another rate")
    lib.espeak_SetSynthCallback(hear)
    lib.espeak_SetVoiceByName(b"en-gb")
    lib.espeak_SetParameter(1, SPEED, 0)
    lib.espeak_SetParameter(3, PITCH, 0)

    def say(text):
        samples.clear()
        phonemes.clear()
        data = text.encode()
        lib.espeak_Synth(data, len(data) + 1, 0, 1, 0, 1 | 0x100, None, None)
        lib.espeak_Synchronize()
        return list(samples), list(phonemes)

    say.keep = hear
    return say


def onset(samples, near):
    """The zero before the first full pulse of the voice in the vowel that begins near."""
    first = near + int(0.006 * RATE)
    pulse = max(range(first, first + RATE // 90), key=lambda i: abs(samples[i]))
    while pulse > 0 and samples[pulse] * samples[pulse - 1] > 0:
        pulse -= 1
    return pulse


def crisp(samples, vowel):
    """With a vowel that is there at once, and what leads to it well under it."""
    out = [float(s) for s in samples]
    lead = max((abs(s) for s in samples[:vowel]), default=0)
    top = max(abs(s) for s in samples[vowel:])
    for i in range(vowel):
        out[i] *= min(1.0, LEAD * top / lead) if lead else 1.0
    span = int(0.012 * RATE)  # longer than a pulse
    for i in range(vowel, min(vowel + int(0.080 * RATE), len(out))):
        local = max(abs(s) for s in samples[max(vowel, i - span):i + span])
        away = (i - vowel) / (0.080 * RATE)
        out[i] *= (1 - away) * top / max(local, top / 6) + away
    return out


def chunk(name, body):
    return name + struct.pack("<I", len(body)) + body + b"\0" * (len(body) % 2)


def wav(samples, vowel):
    """A WAV file with a cue point, named "vowel"."""
    fmt = struct.pack("<HHIIHH", 1, 1, RATE, 2 * RATE, 2, 16)
    data = struct.pack(f"<{len(samples)}h", *samples)
    cue = struct.pack("<IIIIIII", 1, 1, vowel, 0x61746164, 0, 0, vowel)
    label = b"adtl" + chunk(b"labl", struct.pack("<I", 1) + b"vowel\0")
    body = chunk(b"fmt ", fmt) + chunk(b"data", data) + chunk(b"cue ", cue) + chunk(b"LIST", label)
    return chunk(b"RIFF", b"WAVE" + body)


def trimmed(samples, vowel):
    """Without the silence around, at a common peak, ended softly."""
    loud = [i for i, s in enumerate(samples) if abs(s) > 150]
    first, last = min(loud[0], vowel), min(loud[-1] + 1, vowel + int(MOST * RATE))
    top = max(abs(s) for s in samples[first:last])
    out = [s * PEAK * 32767 / top for s in samples[first:last]]
    rise, fall = int(0.003 * RATE), int(0.030 * RATE)
    for i in range(min(rise, vowel - first)):
        out[i] *= i / rise
    for i in range(min(fall, len(out))):
        out[-1 - i] *= i / fall
    return [round(s) for s in out], vowel - first


def main():
    folder = pathlib.Path(__file__).parent
    say = engine()
    for name, text in WORDS.items():
        samples, phonemes = say(text)
        vowel = next(at for at, p in phonemes if p[0] in VOWELS)
        vowel = onset(samples, vowel)
        samples = crisp(samples, vowel)
        (folder / f"{name}.wav").write_bytes(wav(*trimmed(samples, vowel)))


if __name__ == "__main__":
    main()
