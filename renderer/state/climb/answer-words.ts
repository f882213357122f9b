// The partner's question and its steps in words: pure functions of the climb.
import type { Answer, ClimbState } from '../../../app/core/ladder/model.ts';
import type { BreakPlace } from '../../../app/core/model/unit.ts';
import type { Bpm } from '../../../app/core/base/units.ts';
import { shownSymbol } from '../../../app/core/harmony/note-names.ts';
import type { NoteNames } from '../../../app/core/model/chord.ts';

/** "Bm → G", or "bar 3" in a lead line. */
export const placeName = ({ bar, from, to }: BreakPlace, names?: NoteNames): string =>
  from === '' ? `bar ${bar + 1}` : `${shownSymbol(from, names)} → ${shownSymbol(to, names)}`;

/** One sentence: what comes next, and where it leads. */
export function answerWords(
  answer: Answer,
  state: ClimbState,
  unit: string,
  names?: NoteNames,
): string {
  switch (answer.kind) {
    case 'again':
      return `The same once more, at ${tempoOf(state)}.`;
    case 'slower':
      return `A rung slower: ${answer.bpm}.`;
    case 'drill':
      return `${placeName(answer.place, names)} and back, at ${answer.bpm}, for ${answer.seconds} seconds. Then ${unit} at ${afterDrill(state)}.`;
    case 'piece':
      return `Only bars ${answer.from + 1} and ${answer.to + 1}, at ${answer.bpm}. Then ${unit} as a whole.`;
    case 'break':
      return `${answer.minutes} minutes’ break. Tired hands learn little.`;
    case 'enough':
      return 'Enough for now. All of it is kept; tomorrow it often goes by itself.';
  }
}

/** Two or three words on a key. */
export const ANSWER_NAMES: Readonly<Record<Answer['kind'], string>> = {
  again: 'same again',
  slower: 'a rung slower',
  drill: 'drill the change',
  piece: 'a shorter piece',
  break: 'five minutes’ break',
  enough: 'enough for now',
};

/** A drill leads back a rung lower, from the lowest rung to the same. */
const afterDrill = ({ rungs, footholds }: ClimbState): Bpm =>
  rungs[Math.max(0, footholds.lower.rung - 1)] ?? 0;

const tempoOf = (state: ClimbState): number => {
  const asked = state.partner?.asked?.pass;
  const rung = state.passes.find((p) => p.number === asked)?.rung ?? 0;
  return state.rungs[rung] ?? 0;
};
