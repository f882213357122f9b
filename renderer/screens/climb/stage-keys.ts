// The keys of a climb in words: a few on the verdict buttons, all of them on the sheet.
import type { Verdict } from '../../../app/core/model/pass.ts';
import {
  ACTION_WORDS,
  type Binding,
  bindingName,
  CLIMB_ACTIONS,
  isMidi,
} from '../../input/bindings.ts';
import type { KeyGroup } from '../../state/shell/shell.svelte.ts';

/** Two keys are enough on a button that is read from two metres. */
const ON_BUTTON = 2;

type KeyList = readonly (readonly string[])[];

/** The plain presses on the keyboard that do this. */
const pressesFor = (table: readonly Binding[], action: Verdict): KeyList =>
  table
    .filter((b) => b.action === action && b.gesture === 'press' && !isMidi(b.signal))
    .slice(0, ON_BUTTON)
    .map((b) => [bindingName(b)]);

/** At most two plain keys for each answer. */
export const verdictKeys = (table: readonly Binding[]): Readonly<Record<Verdict, KeyList>> => ({
  clean: pressesFor(table, 'clean'),
  missed: pressesFor(table, 'missed'),
});

/** Every action of a climb with all that is bound to it. */
export const climbKeys = (table: readonly Binding[]): KeyGroup => ({
  title: 'While climbing',
  lines: CLIMB_ACTIONS.map((action) => ({
    keys: table.filter((b) => b.action === action).map((b) => [bindingName(b)]),
    does: ACTION_WORDS[action].does,
  })),
});
