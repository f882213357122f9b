"""Single notes of sampled guitars, cut to the length the generator needs, packed small.

usage: python3 banks.py OUT.bin NAME=SOURCE ...
A source is `font.sf2:program` or `font.sf2:bank:program` (rendered by fluidsynth), `freepats:program`
(rendered by timidity) or `folder:PATH` (single notes as files, named by pitch, decoded by sox).

Every guitar becomes int16 [ROWS, KEEP] at 16 kHz: for each second pitch a soft and a hard pluck. The
generator reaches the pitches between by resampling.
"""

from __future__ import annotations

import json
import lzma
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.signal import resample_poly

RATE = 16_000
LOW, HIGH, STEP = 36, 88, 2
PITCHES = list(range(LOW, HIGH + 1, STEP))
ROWS = 2 * len(PITCHES)
KEEP = 20_000
"""Samples of one note: 1.25 s."""
VELOCITIES = (70, 105)
SLOT_MS = 2_000
"""One note is struck every two seconds, and damped after 1.5 s."""

Notes = NDArray[np.float32]


def variable_length(n: int) -> bytes:
    out = [n & 127]
    while n := n >> 7:
        out.insert(0, (n & 127) | 128)
    return bytes(out)


def midi_file(program: int, bank: int = 0) -> bytes:
    """A Standard MIDI File with every note of a guitar, one after the other; one tick is a millisecond."""
    events: list[tuple[int, bytes]] = [(0, bytes([0xB0, 0, bank])), (0, bytes([0xC0, program]))]
    at = 0
    for velocity in VELOCITIES:
        for pitch in PITCHES:
            events.append((at, bytes([0x90, pitch, velocity])))
            # All sound off first: released samples would ring on into the next note.
            events.append((at + 1500, bytes([0xB0, 120, 0])))
            events.append((at + 1500, bytes([0x80, pitch, 0])))
            at += SLOT_MS
    body = b"\x00\xff\x51\x03\x0f\x42\x40"
    last = 0
    for moment, message in events:
        body += variable_length(moment - last) + message
        last = moment
    body += variable_length(700) + b"\xff\x2f\x00"
    head = b"MThd\0\0\0\6\0\0\0\1\3\xe8"
    return head + b"MTrk" + len(body).to_bytes(4, "big") + body


def cut(sound: NDArray[np.float32], rate: int) -> Notes:
    slot = rate * SLOT_MS // 1000
    whole = np.zeros(ROWS * slot, np.float32)
    whole[: min(len(whole), len(sound))] = sound[: len(whole)]
    return resample_poly(whole, RATE, rate).astype(np.float32).reshape(ROWS, -1)[:, :KEEP]


def from_sound_font(font: str, program: int, bank: int) -> Notes:
    with tempfile.TemporaryDirectory() as folder:
        song, raw = Path(folder, "notes.mid"), Path(folder, "notes.raw")
        song.write_bytes(midi_file(program, bank))
        # fmt: off
        subprocess.run(["fluidsynth", "-ni", "-q", "-R", "0", "-C", "0", "-g", "0.6", "-r", "48000", "-T", "raw",
                        "-O", "float", "-F", str(raw), font, str(song)], check=True, capture_output=True)
        # fmt: on
        return cut(np.fromfile(raw, np.float32).reshape(-1, 2).mean(1), 48_000)


def from_freepats(program: int) -> Notes:
    with tempfile.TemporaryDirectory() as folder:
        song, raw = Path(folder, "notes.mid"), Path(folder, "notes.raw")
        song.write_bytes(midi_file(program))
        # fmt: off
        subprocess.run(["timidity", "-c", "/etc/timidity/freepats.cfg", "-Or1sl", "-s", "48000", "-o", str(raw),
                        "--reverb=d", "--chorus=d", str(song)], check=True, capture_output=True)
        # fmt: on
        sound = np.fromfile(raw, np.int16).astype(np.float32).reshape(-1, 2).mean(1) / 32_768
        return cut(sound, 48_000)


_NAMES = {n: i for i, n in enumerate("C C# D D# E F F# G G# A A# B".split())}


def _pitch_of(stem: str) -> int | None:
    """MIDI number of a file named "As2" or "F#4"; None for any other name."""
    found = re.fullmatch(r"([A-G])(s|#)?(-?\d)", stem)
    if not found:
        return None
    return _NAMES[found[1] + ("#" if found[2] else "")] + 12 * (int(found[3]) + 1)


def from_folder(folder: str) -> Notes:
    """Recorded single notes; each pitch takes the nearest recording, resampled. Soft is the same, darker."""
    recorded: dict[int, NDArray[np.float32]] = {}
    for file in sorted(Path(folder).iterdir()):
        pitch = _pitch_of(file.stem)
        if pitch is None:
            continue
        # fmt: off
        raw = subprocess.run(["sox", str(file), "-t", "raw", "-e", "float", "-b", "32", "-r", "48000", "-c", "1", "-",
                              "trim", "0", "4"], check=True, capture_output=True).stdout
        # fmt: on
        sound = np.frombuffer(raw, np.float32)
        loud = np.abs(sound) > 0.02 * np.abs(sound).max()
        recorded[pitch] = sound[max(0, int(np.argmax(loud)) - 480) :]
    out = np.zeros((2, len(PITCHES), KEEP), np.float32)
    for i, pitch in enumerate(PITCHES):
        near = min(recorded, key=lambda p: abs(p - pitch))
        ratio = 2 ** ((pitch - near) / 12)
        source = recorded[near]
        at = np.arange(int(KEEP * 3 * min(1.0, 4 / ratio))) * ratio
        note = np.interp(at, np.arange(len(source)), source, right=0.0)
        hard = resample_poly(note, 1, 3)[:KEEP]
        out[1, i, : len(hard)] = hard
        out[0, i, : len(hard)] = 0.6 * np.convolve(hard, [0.25, 0.5, 0.25], "same")
    return out.reshape(ROWS, KEEP)


def read_source(source: str) -> Notes:
    if source.startswith("folder:"):
        return from_folder(source[7:])
    parts = source.split(":")
    if parts[0] == "freepats":
        return from_freepats(int(parts[1]))
    bank, program = (0, parts[1]) if len(parts) == 2 else (int(parts[1]), parts[2])
    return from_sound_font(parts[0], int(program), bank)


def to_int16(notes: Notes, name: str) -> NDArray[np.int16]:
    """Half of full scale at the median peak. @raises ValueError where too many notes are silent."""
    peaks = np.abs(notes).max(1)
    silent = peaks < 1e-4
    if silent.sum() > ROWS // 4:
        raise ValueError(f"{name}: {silent.sum()} of {ROWS} notes are silent; check the source and program")
    for row in np.flatnonzero(silent):
        spoken = np.flatnonzero(~silent)
        notes[row] = notes[spoken[np.argmin(np.abs(spoken - row))]]
    scale = 0.25 / np.median(np.abs(notes).max(1))
    return np.clip(np.round(notes * scale * 32_767), -32_767, 32_767).astype(np.int16)


TOO_FEW_ODD = -15.0
"""Decibels of the first odd partials against the first even ones; guitars lie above −8."""


def sounds_an_octave_higher(guitar: NDArray[np.int16]) -> bool:
    """Are odd partials missing in most hard notes? Flageolets are written as they are fingered: labels would be wrong."""
    found = []
    for i in range(2, 16, 2):
        power = np.abs(np.fft.rfft(guitar[len(PITCHES) + i, 800:8992] * np.hanning(8192), 32_768)) ** 2
        line = 440 * 2 ** ((PITCHES[i] - 69) / 12) * 32_768 / RATE
        odd, even = (sum(power[int(0.985 * h * line) : int(1.015 * h * line) + 2].sum() for h in of) for of in ((1, 3, 5), (2, 4, 6)))
        found.append(10 * np.log10((odd + 1e-9) / (even + 1e-9)))
    return bool(np.median(found) < TOO_FEW_ODD)


def write_bank(path: str, names: list[str], guitars: NDArray[np.int16]) -> None:
    """Second differences, high and low bytes apart, then LZMA: about half the size."""
    flat = guitars.astype(np.int32)
    twice = np.diff(np.diff(flat, axis=-1, prepend=0), axis=-1, prepend=0).astype(np.uint16)
    planes = b"".join(((twice >> shift) & 255).astype(np.uint8).tobytes() for shift in (8, 0))
    head = json.dumps({"names": names, "shape": list(guitars.shape)}).encode()
    packed = lzma.compress(planes, preset=1)
    Path(path).write_bytes(len(head).to_bytes(4, "little") + head + packed)


def read_bank(path: str) -> tuple[list[str], NDArray[np.int16]]:
    data = Path(path).read_bytes()
    size = int.from_bytes(data[:4], "little")
    head = json.loads(data[4 : 4 + size])
    planes = np.frombuffer(lzma.decompress(data[4 + size :]), np.uint8).reshape(2, *head["shape"])
    twice = (planes[0].astype(np.uint16) << 8) | planes[1]
    once = np.cumsum(twice, axis=-1, dtype=np.uint16)
    return head["names"], np.cumsum(once, axis=-1, dtype=np.uint16).view(np.int16)


def likeness(a: NDArray[np.int16], b: NDArray[np.int16]) -> float:
    """Median over the hard notes of the largest normalised cross-correlation: near 1 where samples are shared."""
    found = []
    for row in range(len(PITCHES) + 4, ROWS - 6, 3):
        x, y = (v[row, :6000].astype(np.float64) for v in (a, b))
        both = np.fft.irfft(np.fft.rfft(x, 16_384) * np.conj(np.fft.rfft(y, 16_384)))
        found.append(np.abs(both).max() / (np.linalg.norm(x) * np.linalg.norm(y) + 1e-9))
    return float(np.median(found))


def main(arguments: Iterable[str]) -> None:
    out, *sources = arguments
    names, guitars = [], []
    for word in sources:
        name, source = word.split("=", 1)
        guitars.append(to_int16(read_source(source), name))
        if sounds_an_octave_higher(guitars[-1]):
            raise ValueError(f"{name} sounds an octave higher than its notes are written: leave it out")
        names.append(name)
        alike = [(round(likeness(guitars[-1], g), 2), n) for n, g in zip(names[:-1], guitars[:-1])]
        print(name, "likest:", sorted(alike, reverse=True)[:3], flush=True)
    write_bank(out, names, np.stack(guitars))


if __name__ == "__main__":
    main(sys.argv[1:])
