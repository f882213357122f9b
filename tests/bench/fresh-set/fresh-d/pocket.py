"""Single notes of the small synthesizer that telephones carried, by its library: raw 16-bit stereo at 22,050 Hz.

usage: python3 pocket.py PROGRAM LOWEST HIGHEST > notes.raw
Debian's libsonivox3 (Apache-2.0), its own wavetable, no reverb, no chorus. Every pitch softly, then every pitch hard;
one note every four seconds, held 3.2.
"""

import ctypes
import sys

RATE, BLOCK, CHANNELS = 22_050, 128, 2
VELOCITIES = (60, 105)
SPACING, HELD = 4 * RATE, 3.2 * RATE
REVERB, CHORUS, BYPASS = 2, 3, 0
PROGRAM, ON, OFF = 0xC0, 0x90, 0x80


class Player:
    def __init__(self) -> None:
        self.library = ctypes.CDLL("libsonivox.so.3")
        self.data, self.stream = ctypes.c_void_p(), ctypes.c_void_p()
        self.must(self.library.EAS_Init(ctypes.byref(self.data)))
        for module in (REVERB, CHORUS):
            self.must(self.library.EAS_SetParameter(self.data, module, BYPASS, 1))
        self.must(self.library.EAS_OpenMIDIStream(self.data, ctypes.byref(self.stream), None))
        self.block = (ctypes.c_int16 * (BLOCK * CHANNELS))()
        self.done = 0

    def must(self, result: int) -> None:
        if result != 0:
            raise RuntimeError(f"libsonivox says {result}")

    def send(self, *message: int) -> None:
        self.must(self.library.EAS_WriteMIDIStream(self.data, self.stream, bytes(message), len(message)))

    def until(self, sample: float) -> None:
        """Plays on in whole blocks: a note lies up to one block late, which its measured onset makes good."""
        made = ctypes.c_int32()
        while self.done < sample:
            self.must(self.library.EAS_Render(self.data, self.block, BLOCK, ctypes.byref(made)))
            sys.stdout.buffer.write(bytes(self.block))
            self.done += BLOCK


def main(program: int, lowest: int, highest: int) -> None:
    player = Player()
    player.send(PROGRAM, program)
    at = 0
    for velocity in VELOCITIES:
        for pitch in range(lowest, highest + 1):
            player.send(ON, pitch, velocity)
            player.until(at + HELD)
            player.send(OFF, pitch, 0)
            at += SPACING
            player.until(at)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
