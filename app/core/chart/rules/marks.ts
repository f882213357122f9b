// Rules for what is written for people: words, remarks, comments, free fields; and for marks of time in a bar.
import { compare, equals } from '../../base/rational.ts';
import { MAX_BPM, MIN_BPM } from '../../base/units.ts';
import {
  MAX_COMMENTS,
  MAX_FERMATA,
  MAX_FIELDS,
  MAX_REMARK,
  MAX_REMARKS,
  MAX_SPLIT,
  MAX_SYLLABLE,
  MAX_SYLLABLES,
  MAX_VERSES,
} from '../../model/limits.ts';
import type { Bar, BarWords, ChartBody, Meter, Section } from '../../model/chart.ts';
import { slotsOf, splitOf } from '../../rhythm/slots.ts';
import { isSyllable } from './syllable.ts';
import { type ChartPlace, type ChartProblem, problemAt } from './place.ts';

/** One line, without spaces at its ends. */
const isLine = (text: string, most = MAX_REMARK): boolean =>
  text !== '' && text.trim() === text && text.length <= most && !/[\n\r]/u.test(text);

/** A remark stands in quotation marks. */
const isRemark = (text: string): boolean => isLine(text) && !/["“”]|\s\s|\t/u.test(text);

/** A comment may be an empty line, for a gap. */
const isComment = (text: string): boolean => text === '' || isLine(` ${text}`.slice(1).trimStart());

/** A bar as it stands in its chart. */
export interface BarAt {
  readonly bar: Bar;
  /** In force there. */
  readonly meter: Meter;
  /** "bar 7 of ‘Bridge’". */
  readonly name: string;
  readonly place: ChartPlace;
}

/** What is wrong with what is written around the chords of a bar; empty where nothing is. */
export function checkMarks(at: BarAt): ChartProblem[] {
  const { words, comments } = at.bar;
  return [
    ...checkRemarks(at),
    ...checkPace(at),
    ...checkFermata(at),
    ...(words ? checkVerses(words, at) : []),
    ...(comments ? checkComments(comments, at.place) : []),
  ];
}

function checkRemarks({ bar: { remark, content }, name, place }: BarAt): ChartProblem[] {
  const chords = content.kind === 'chords' ? content.chords : [];
  const fits = (text?: string): boolean => text === undefined || isRemark(text);
  if (fits(remark) && chords.every((chord) => fits(chord.remark))) return [];
  const cure = `Keep it to one line of ${MAX_REMARK} characters without quotation marks inside.`;
  return [problemAt(place, 'remark-text', `${name} has a remark that cannot be kept`, cure)];
}

function checkPace({ bar: { pace }, name, place }: BarAt): ChartProblem[] {
  if (!pace || pace.kind === 'a-tempo' || pace.to === undefined) return [];
  const { to } = pace;
  if (to >= MIN_BPM && to <= MAX_BPM && Math.round(to * 100) / 100 === to) return [];
  const cure = `Choose ${MIN_BPM} to ${MAX_BPM}.`;
  return [problemAt(place, 'pace-range', `${name} goes to a tempo of ${to}`, cure)];
}

function checkFermata({ bar, meter, name, place }: BarAt): ChartProblem[] {
  const { fermata, content, pickup } = bar;
  if (!fermata) return [];
  const { at, extra } = fermata;
  const slots = slotsOf(meter, pickup);
  const beats = content.kind === 'simile' ? slots.slice(-1) : slots;
  if (!beats.some((beat) => equals(beat.at, at))) {
    const cure = 'Write it after the beat that is held; after % it holds the last one.';
    return [problemAt(place, 'fermata-place', `${name} has a fermata on no beat`, cure)];
  }
  if (Number.isInteger(extra) && extra >= 1 && extra <= MAX_FERMATA) return [];
  const cure = `Add 1 to ${MAX_FERMATA} beats.`;
  return [problemAt(place, 'fermata-length', `${name} is held ${extra} beats longer`, cure)];
}

function checkVerses(verses: readonly BarWords[], at: BarAt): ChartProblem[] {
  const { name, place } = at;
  return [
    ...verses.flatMap((words) => checkWords(words, at)),
    ...tooMany(
      verses,
      MAX_VERSES,
      place,
      'words-verse',
      (n) => `${name} has words for ${n} verses`,
    ),
  ];
}

function checkWords(words: BarWords, { bar, meter, name, place }: BarAt): ChartProblem[] {
  const fault = (code: string, what: string, cure: string): ChartProblem[] => [
    problemAt(place, code, `${name} ${what}`, cure),
  ];
  if (words.length > MAX_SYLLABLES) {
    return fault('words-many', `has ${words.length} syllables`, `Keep ${MAX_SYLLABLES} at most.`);
  }
  const unreadable = words.find(({ text }) => !isSyllable(text) || text.length > MAX_SYLLABLE);
  if (unreadable) {
    const what = `has words that cannot be kept: “${unreadable.text.slice(0, 20)}”`;
    return fault('words-text', what, 'Write syllables without spaces and without |.');
  }
  const beats = words.flatMap(({ at }) => (at ? [at] : []));
  const slots = slotsOf(meter, bar.pickup);
  const inBar = beats.every((at) => {
    const slot = slots.findLast((s) => compare(s.at, at) <= 0);
    const inside =
      slot &&
      compare(at, {
        n: slot.at.n * slot.length.d + slot.length.n * slot.at.d,
        d: slot.at.d * slot.length.d,
      }) < 0;
    const parts = slot && splitOf([{ at, symbol: '' }], slot);
    return inside && parts !== undefined && parts <= MAX_SPLIT;
  });
  const rising = beats.every((at, i) => i === 0 || compare(at, beats[i - 1]!) > 0);
  if (inBar && rising) return [];
  return fault(
    'words-beat',
    'has words on no beat, or out of order',
    'Let each @ name a later beat of the bar.',
  );
}

/** Remarks and comments of a section. */
export function checkTexts({ name, remarks, comments }: Section, section: number): ChartProblem[] {
  const place = { section };
  const bad = (remarks ?? []).some((remark) => !isLine(remark));
  const cure = `Keep it to one line of ${MAX_REMARK} characters.`;
  return [
    ...(bad
      ? [problemAt(place, 'remark-text', `‘${name}’ has a remark that cannot be kept`, cure)]
      : []),
    ...tooMany(remarks, MAX_REMARKS, place, 'remark-many', (n) => `‘${name}’ has ${n} remarks`),
    ...checkComments(comments, place),
  ];
}

/** Each comment is one line of at most {@link MAX_REMARK} characters. */
function checkComments(comments: readonly string[] | undefined, place: ChartPlace): ChartProblem[] {
  const bad = (comments ?? []).some((text) => !isComment(text));
  const cure = `Keep each comment to a line of ${MAX_REMARK} characters.`;
  return [
    ...(bad ? [problemAt(place, 'comment-text', 'a comment cannot be kept', cure)] : []),
    ...tooMany(
      comments,
      MAX_COMMENTS,
      place,
      'comment-many',
      (n) => `there are ${n} comments in a row`,
    ),
  ];
}

/** Who wrote it, free fields and comments at the head. */
export function checkHeadTexts({ by, fields, comments, form }: ChartBody): ChartProblem[] {
  const place: ChartPlace = { field: 'title' };
  const bad = [by, ...(fields ?? []).map(({ value }) => value)].some(
    (text) => text !== undefined && text !== '' && (!isLine(text) || text.startsWith('|')),
  );
  const cure = `Keep each line to ${MAX_REMARK} characters.`;
  return [
    ...(bad || by === ''
      ? [problemAt(place, 'field-text', 'a line at the head cannot be kept', cure)]
      : []),
    ...tooMany(fields, MAX_FIELDS, place, 'field-many', (n) => `the head has ${n} further lines`),
    ...checkComments(
      comments?.map(({ text }) => text),
      place,
    ),
    ...form.flatMap((entry, index) => checkComments(entry.comments, { form: index })),
  ];
}

function tooMany(
  list: readonly unknown[] | undefined,
  most: number,
  place: ChartPlace,
  code: string,
  message: (count: number) => string,
): ChartProblem[] {
  if (!list || list.length <= most) return [];
  return [problemAt(place, code, message(list.length), `Keep ${most} at most.`)];
}
