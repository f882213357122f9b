"""What else is heard in a living room: speech, music from a loudspeaker, and a band that plays the same song.

usage: python3 noises.py OUT.npz train|other
`train` and `other` (validation) share no voice, no instrument and no sentence.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

import banks

SENTENCES = {
    "train": "the kettle is on and the rain has stopped. can you pass me the blue cup please. we should leave at a quarter "
    "to nine. where did you put the keys. I think it was under the newspaper. the dog wants to go out again. tomorrow "
    "there will be showers in the north and a light wind from the west. seven, nineteen, forty two.",
    "other": "she opened the window and looked at the garden. nobody had told him about the second train. turn it down a "
    "little, I am on the phone. two eggs, some flour and a pinch of salt. it will be dark before we are home. after "
    "the break we talk about whales and how they sleep.",
}
VOICES = {
    "train": [["espeak-ng", "-v", v, "-s", s] for v, s in
              (("en+m1", "150"), ("en-us+f2", "180"), ("en+m7", "130"), ("de+m3", "170"), ("fr+f4", "160"),
               ("en+whisper", "150"), ("es+m5", "190"), ("en-us+m2", "210"))],
    "other": [["flite", "-voice", v] for v in ("slt", "awb", "rms", "kal")],
}  # fmt: skip
FONTS = {"train": "/usr/share/sounds/sf2/sf_GMbank.sf2", "other": "/usr/share/sounds/sf2/FluidR3_GM.sf2"}
PROGRAMS = {"train": {"bass": 33, "keys": 0, "pad": 48, "solo": 56}, "other": {"bass": 34, "keys": 4, "pad": 50, "solo": 73}}
MINUTES = {"train": 1.3, "other": 0.7}
Sound = NDArray[np.float32]


def _resampled(wav: Path) -> Sound:
    # fmt: off
    raw = subprocess.run(["sox", str(wav), "-t", "raw", "-e", "float", "-b", "32", "-r", "16000", "-c", "1", "-"],
                         check=True, capture_output=True).stdout
    # fmt: on
    return np.frombuffer(raw, np.float32)


def speech(part: str) -> Sound:
    """Every voice says the sentences once; levelled, pauses kept."""
    said = []
    with tempfile.TemporaryDirectory() as folder:
        wav = Path(folder, "said.wav")
        for voice in VOICES[part]:
            if voice[0] == "flite":
                command = [*voice, "-t", SENTENCES[part], "-o", str(wav)]
            else:
                command = [*voice, "-w", str(wav), SENTENCES[part]]
            subprocess.run(command, check=True, capture_output=True)
            sound = _resampled(wav)
            said.append(sound / (np.sqrt((sound**2).mean()) + 1e-6) * 0.1)
    return np.concatenate(said)


def music(part: str, r: np.random.Generator) -> Sound:
    """Invented songs on other instruments, drums included, with another tempo and key each."""
    seconds = MINUTES[part] * 60
    events: list[tuple[int, bytes]] = []
    for channel, program in enumerate(PROGRAMS[part].values()):
        events.append((0, bytes([0xC0 | channel, program])))
    at = 0.0
    while at < seconds:
        beat, key = 60 / r.uniform(65, 170), int(r.integers(0, 12))
        for chord in r.choice([0, 5, 7, 9, 2, 4], 8):
            root = key + int(chord)
            third = 3 if chord in (2, 4, 9) else 4
            tones = [root, root + third, root + 7]
            for step in range(4):
                now = at + step * beat
                if r.random() < 0.8:
                    events += _note(now, beat, 0, 36 + (root % 12), 90)
                if r.random() < 0.5:
                    for tone in tones:
                        events += _note(now, beat * 0.9, 1, 60 + tone % 12, 70)
                if r.random() < 0.6:
                    events += _note(now + beat / 2, beat / 2, 3, 64 + int(r.choice(tones)) % 12, 85)
                for half in (0, 0.5):
                    events += _note(now + half * beat, 0.1, 9, 42, 70)
                events += _note(now, 0.1, 9, 36 if step % 2 == 0 else 38, 100)
            for tone in tones:
                events += _note(at, 4 * beat, 2, 60 + tone % 12, 60)
            at += 4 * beat
    events.sort(key=lambda event: event[0])
    body, last = b"\x00\xff\x51\x03\x0f\x42\x40", 0
    for moment, message in events:
        body += banks.variable_length(moment - last) + message
        last = moment
    body += b"\x00\xff\x2f\x00"
    with tempfile.TemporaryDirectory() as folder:
        song, wav = Path(folder, "song.mid"), Path(folder, "song.wav")
        song.write_bytes(b"MThd\0\0\0\6\0\0\0\1\3\xe8MTrk" + len(body).to_bytes(4, "big") + body)
        subprocess.run(["fluidsynth", "-ni", "-q", "-g", "0.5", "-F", str(wav), FONTS[part], str(song)], check=True, capture_output=True)
        return _resampled(wav)[: int(seconds * 16_000)]


def _note(at: float, length: float, channel: int, midi: int, velocity: int) -> list[tuple[int, bytes]]:
    on, off = int(1000 * at), int(1000 * (at + length))
    return [(on, bytes([0x90 | channel, midi, velocity])), (off, bytes([0x80 | channel, midi, 0]))]


def drums(part: str) -> banks.Notes:
    """One-shots of a drum kit, as rows of a bank."""
    with tempfile.TemporaryDirectory() as folder:
        keys = [35, 36, 37, 38, 39, 40, 42, 44, 46, 49, 51, 54, 56, 69, 70, 75, 41, 45, 48, 36, 38, 42, 42, 46, 36, 38, 42]
        events = [(2000 * i, bytes([0x99, keys[i % len(keys)], 100])) for i in range(banks.ROWS)]
        body, last = b"\x00\xff\x51\x03\x0f\x42\x40", 0
        for moment, message in events:
            body += banks.variable_length(moment - last) + message
            last = moment
        body += banks.variable_length(2000) + b"\xff\x2f\x00"
        song, raw = Path(folder, "kit.mid"), Path(folder, "kit.raw")
        song.write_bytes(b"MThd\0\0\0\6\0\0\0\1\3\xe8MTrk" + len(body).to_bytes(4, "big") + body)
        # fmt: off
        subprocess.run(["fluidsynth", "-ni", "-q", "-R", "0", "-C", "0", "-g", "0.6", "-r", "48000", "-T", "raw",
                        "-O", "float", "-F", str(raw), FONTS[part], str(song)], check=True, capture_output=True)
        # fmt: on
        return banks.cut(np.fromfile(raw, np.float32).reshape(-1, 2).mean(1), 48_000)


def main(out: str, part: str) -> None:
    r = np.random.default_rng({"train": 5, "other": 6}[part])
    pool = np.concatenate([speech(part), music(part, r)])
    program = PROGRAMS[part]
    band = [banks.from_sound_font(FONTS[part], program[name], 0) for name in ("bass", "keys", "pad")] + [drums(part)]
    levelled = [banks.to_int16(notes, "band") for notes in band]
    level = 0.1 / (np.sqrt((pool**2).mean()) + 1e-9)
    written = np.clip(pool * level * 32_767, -32_767, 32_767).astype(np.int16)
    banks.write_bank(out + ".band", ["bass", "keys", "pad", "drums"], np.stack(levelled))
    np.savez_compressed(out, pool=written)
    print(part, "noises", round(len(pool) / 16_000), "s")


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
