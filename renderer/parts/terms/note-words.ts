// What is said under the field of a note: where on the stage it will stand.
import { noteInPlace } from '../../../app/core/progress/bar-notes.ts';
import type { PlayedBar } from '../../../app/core/model/unit.ts';

const HOW =
  'It stands on the stage. A line such as ‘Bar 3: thumb behind the neck’ stands at that bar.';

/** @param bars of what the note is about; undefined where that is not known. */
export function noteHint(note: string, bars: readonly PlayedBar[] | undefined): string {
  const { placed, nowhere } = noteInPlace(note, bars ?? []);
  if (bars === undefined || placed.length + nowhere.length === 0) return HOW;
  const there = placed.map(({ where, text }) => `at ${where}: ‘${text}’`);
  const missing = nowhere.map((line) => `No such bar here: ‘${line}’ stands over the whole.`);
  return [there.length > 0 ? `On the stage ${there.join('; ')}.` : '', ...missing]
    .filter(Boolean)
    .join(' ');
}
