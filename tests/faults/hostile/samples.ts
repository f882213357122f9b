// Good ones of what comes in from outside; the doors and the messages spoil them.
import { passEntry, samplePass, sampleChart, sampleUnit } from '../../unit/services/samples.ts';

export const NOW = '2031-04-05T18:20:00Z';

/** A chart with something of everything. */
export const SMALL_CHART = `id: small
title: Two Bars
tempo: ♩ = 120
meter: 7/8 (2+2+3)
feel: swing 8 2:1
key: G minor
capo: 2
G: 320003

[Riff]
strum: eighths D-DU-UDU
| G . D7/F# . | % |
line: Hook, bar 1
part Guitar 1: | 2 3/7b1 4 3/7 h9 | 1 2/8~ |
words: Hold | on-
remark: softly
| {triplets: Am Bm C} | N.C. |

form:
Riff ×2
`;

export const chart = sampleChart('k-1', { title: 'Harbour Lights' });

export const student = {
  id: 'st-1',
  name: 'Ada',
  since: NOW,
  assignments: [],
  comments: [{ id: 'c', at: NOW, by: '', text: 'well' }],
};

export const parcel = { kind: 'sheet', student: 'st-1', name: 'Ada.json', text: '{}' } as const;

export const recordingAbout = {
  chart: { id: 'k-1', title: 'Harbour Lights' },
  unit: { key: 'form', name: 'The whole song' },
  tempo: { bpm: 92, beat: 'quarter' },
  climb: 'c-1',
} as const;

export const given = {
  note: { ...recordingAbout, id: 'r-1', at: NOW, seconds: 8, remark: 'the bridge' },
  student: 'st-1',
  own: { person: '0123456789abcdef0123456789abcdef', machine: 'Laptop' },
  sound: 'GkXfo2hlbGxv',
} as const;

export const pass = samplePass('a');
export const unit = sampleUnit(pass.unit.fingerprint);
export const entry = passEntry('a');
