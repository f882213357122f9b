// The few phrases that every room says the same way: tempos, counts, shares, days.
import type { Unit } from '../../app/core/model/unit.ts';
import type { Problem } from '../../app/core/base/result.ts';
import type { BeatUnit, Bpm, IsoDate, IsoTime, Seconds, Share } from '../../app/core/base/units.ts';

const beatNames: Readonly<Record<BeatUnit, string>> = {
  half: 'half note',
  'dotted-half': 'dotted half',
  quarter: 'quarter',
  'dotted-quarter': 'dotted quarter',
  eighth: 'eighth',
  'dotted-eighth': 'dotted eighth',
};

/** The counted note in words. */
export const beatName = (beat: BeatUnit): string => beatNames[beat];

/** 92 → "92", 92.5 → "92.5": never more than one decimal, never a trailing zero. */
export const bpmWords = (bpm: Bpm): string => String(Math.round(bpm * 10) / 10);

/** For screen readers and plain text: "92 bpm (dotted quarter)". */
export const tempoWords = (bpm: Bpm, beat: BeatUnit): string =>
  `${bpmWords(bpm)} bpm (${beatName(beat)})`;

/** counted(1, 'pass', 'passes') → "1 pass". */
export const counted = (n: number, one: string, many = `${one}s`): string =>
  `${n} ${n === 1 ? one : many}`;

/** 0.834 → "83 %". */
export const percentWords = (share: Share): string => `${Math.round(share * 100)} %`;

/** 0.4 → "less than a minute", 12.6 → "13 minutes". @param minutes of playing */
export const minutesWords = (minutes: number): string =>
  minutes > 0 && minutes < 1 ? 'less than a minute' : counted(Math.round(minutes), 'minute');

/** 151.4 → "2:31". */
export const lengthWords = (seconds: Seconds): string =>
  `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, '0')}`;

/** Monday first, as in ISO 8601. */
export const WEEKDAYS = [
  'Monday',
  'Tuesday',
  'Wednesday',
  'Thursday',
  'Friday',
  'Saturday',
  'Sunday',
] as const;

const DATE = { day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' } as const;
const date = new Intl.DateTimeFormat('en-GB', DATE);
const day = new Intl.DateTimeFormat('en-GB', { ...DATE, weekday: 'short' });

/** 2031-04-05 → "5 Apr 2031". */
export const dateWords = (on: IsoDate): string => date.format(new Date(`${on}T00:00Z`));

/** The date the player's own clock showed, whatever the offset: "Sat, 5 Apr 2031". */
export const dayWords = (at: IsoTime): string => day.format(new Date(`${at.slice(0, 10)}T00:00Z`));

/** The same with the time of day: "Sat, 5 Apr 2031, 18:03". */
export const momentWords = (at: IsoTime): string => `${dayWords(at)}, ${at.slice(11, 16)}`;

/** What is done to the guitar before it is played: "capo 2, drop D"; '' where nothing is. */
export const guitarWords = ({ capo, tuning }: Pick<Unit, 'capo' | 'tuning'>): string =>
  [capo > 0 ? `capo ${capo}` : '', tuning.name === 'standard' ? '' : tuning.name]
    .filter(Boolean)
    .join(', ');

/** The phrase with a capital letter. */
export const capital = (phrase: string): string => phrase.charAt(0).toUpperCase() + phrase.slice(1);

/** A problem may come as a phrase, to stand inside a longer text: here it stands as a sentence. */
export const sentence = (phrase: string): string =>
  `${capital(phrase)}${/[.!?]$/.test(phrase) ? '' : '.'}`;

/** What is wrong and what mends it, as two sentences. */
export const problemWords = ({ message, cure }: Pick<Problem, 'message' | 'cure'>): string =>
  `${sentence(message)} ${sentence(cure)}`;

/** The name of a file without its ending. */
export const withoutEnding = (name: string): string => name.replace(/\.\w+$/, '');
