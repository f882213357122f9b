// Kinds of file, lengths and sizes in the words of the export.
import type { Seconds } from '../../../../app/core/base/units.ts';
import type { FileKind } from '../../../state/files/chart-export.svelte.ts';

export const fileKinds: readonly {
  readonly id: FileKind;
  readonly label: string;
  readonly ending: string;
  readonly what: string;
}[] = [
  {
    id: 'chart',
    label: 'Chart file',
    ending: '.rungchart',
    what: 'Everything in the chart, to keep or to bring into Rungwise elsewhere.',
  },
  {
    id: 'score',
    label: 'Score',
    ending: '.musicxml',
    what: 'Form, chords, diagrams, strums and lead lines for notation programs (MusicXML).',
  },
  {
    id: 'mxl',
    label: 'Compressed score',
    ending: '.mxl',
    what: 'The same score, packed: the form in which notation programs usually pass scores on.',
  },
  {
    id: 'midi',
    label: 'MIDI file',
    ending: '.mid',
    what: 'Click, model guitar and lead lines of one part of the chart, rung after rung, to play or edit elsewhere.',
  },
  {
    id: 'wav',
    label: 'Practice track',
    ending: '.wav',
    what: 'One part of the chart as sound, rung after rung with rests, to practise away from the computer.',
  },
];

/** 382 → "6 min 22 s", 3900 → "1 h 5 min". */
export function lengthWords(seconds: Seconds): string {
  const whole = Math.round(seconds);
  const [h, min, s] = [Math.floor(whole / 3600), Math.floor((whole % 3600) / 60), whole % 60];
  if (h > 0) return min > 0 ? `${h} h ${min} min` : `${h} h`;
  if (min === 0) return `${s} s`;
  return s > 0 ? `${min} min ${s} s` : `${min} min`;
}

/** Megabytes of a million bytes: "0.4 MB", "34 MB", "1,080 MB". */
export function sizeWords(bytes: number): string {
  const megabytes = bytes / 1e6;
  return `${megabytes < 10 ? megabytes.toFixed(1) : Math.round(megabytes).toLocaleString('en')} MB`;
}
