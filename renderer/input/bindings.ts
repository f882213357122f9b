// Which key or pedal does what in a climb: the actions, their usual bindings, and the table a player may change.
import { eachOf } from '../../app/core/base/each-of.ts';
import { own } from '../../app/core/base/own.ts';

/** Everything a climb needs, so that hands can stay on the guitar. */
export const CLIMB_ACTIONS = [
  'go',
  'clean',
  'missed',
  'undo',
  'drill',
  'record',
  'stop',
  'hurts',
] as const;
export type ClimbAction = (typeof CLIMB_ACTIONS)[number];

/** How a key or pedal is pressed. */
const GESTURES = ['press', 'hold', 'double'] as const;
export type Gesture = (typeof GESTURES)[number];
const WITH_GESTURE = new RegExp(`^(${GESTURES.join('|')}):(.+)$`);

/**
 * What a device sends, as one word: a key as `KeyboardEvent.code` ("PageDown"), or a MIDI message as
 * `cc:64`, `note:36` or `program:3` (of any channel).
 */
export type Signal = string;

export interface Binding {
  readonly action: ClimbAction;
  readonly gesture: Gesture;
  readonly signal: Signal;
}

/** Short name for buttons and tables, and one sentence for the sheet of keys. */
export const ACTION_WORDS: Readonly<Record<ClimbAction, { name: string; does: string }>> = {
  go: { name: 'Go', does: 'Begin, pause, or go on from the bar' },
  clean: {
    name: 'Clean',
    does: 'Say that the last pass was clean; after a miss, take the next step',
  },
  missed: {
    name: 'Missed',
    does: 'Say that the last pass was missed; after a miss, step to where it broke',
  },
  undo: { name: 'Take back', does: 'Take back the last verdict' },
  drill: { name: 'Drill', does: 'Drill the change that broke, then back to the climb' },
  record: { name: 'Record', does: 'Record the next pass, call that off, or end a recording' },
  stop: { name: 'Stop', does: 'End the climb and keep what was judged' },
  hurts: { name: 'Stop, it hurts', does: 'End at once; nothing is held against you' },
};

/**
 * Up is clean and down is missed, as on a ladder; page up and page down are the same, since a laptop types them with
 * Fn and the arrow. Page-turner pedals send these, or left and right: a press judges, a longer hold goes or takes
 * back, a double press on the missed side stops.
 */
const USUAL_KEYS: Readonly<Record<ClimbAction, readonly string[]>> = {
  go: ['Space', 'hold:PageUp', 'hold:ArrowRight'],
  clean: ['ArrowUp', 'Enter', 'PageUp', 'ArrowRight'],
  missed: ['ArrowDown', 'PageDown', 'ArrowLeft'],
  undo: ['Backspace', 'hold:PageDown', 'hold:ArrowLeft'],
  drill: ['KeyD'],
  record: ['KeyR'],
  stop: ['Escape', 'double:PageDown', 'double:ArrowLeft'],
  hurts: ['KeyH'],
};

/**
 * Control 64 is the pedal that most keyboards and foot switches send; a board of three sends 66 and 67 besides (MIDI
 * 1.0: damper, sostenuto and soft pedal; from memory). More are learned.
 */
const USUAL_PEDALS: Readonly<Record<ClimbAction, readonly string[]>> = {
  go: ['hold:cc:64'],
  clean: ['cc:64'],
  missed: ['double:cc:64'],
  undo: ['cc:67'],
  drill: [],
  record: ['cc:66'],
  stop: [],
  hurts: [],
};

/** Action → signals as the settings keep them; an action not listed keeps its usual ones. */
export type KeptBindings = Readonly<Record<string, readonly string[]>>;

/**
 * The table in force: settings where they say something, the usual bindings elsewhere. What the settings say comes
 * first, so that a key that was learned before an action was there stays where it was put.
 */
export function readBindings(keys: KeptBindings, pedals: KeptBindings): readonly Binding[] {
  const of = (action: ClimbAction, texts: readonly string[] = []) =>
    texts.map((text) => parseBinding(action, text));
  const kept = CLIMB_ACTIONS.flatMap((action) => [
    ...of(action, own(keys, action)),
    ...of(action, own(pedals, action)),
  ]);
  const usual = CLIMB_ACTIONS.flatMap((action) => [
    ...(Object.hasOwn(keys, action) ? [] : of(action, USUAL_KEYS[action])),
    ...(Object.hasOwn(pedals, action) ? [] : of(action, USUAL_PEDALS[action])),
  ]);
  return inOrder(withoutClashes([...kept, ...usual]));
}

/** By action as they are listed; those of one action as they came. */
const inOrder = (table: readonly Binding[]): readonly Binding[] =>
  CLIMB_ACTIONS.flatMap((action) => table.filter((binding) => binding.action === action));

/** `hold:PageDown` → hold on PageDown; a signal without a gesture is a press. */
export function parseBinding(action: ClimbAction, text: string): Binding {
  const [, gesture, signal] = WITH_GESTURE.exec(text) ?? [];
  return { action, gesture: (gesture as Gesture | undefined) ?? 'press', signal: signal ?? text };
}

/** The exact inverse of {@link parseBinding}. */
export const printBinding = ({ gesture, signal }: Binding): string =>
  gesture === 'press' ? signal : `${gesture}:${signal}`;

/** The settings after `binding` was learned: what it took from another action is gone there. */
export function learn(table: readonly Binding[], binding: Binding): KeptTable {
  const others = table.filter((b) => !clash(b, binding));
  return keptTable([...others, binding]);
}

/** The settings after `binding` was removed. */
export const forget = (table: readonly Binding[], binding: Binding): KeptTable =>
  keptTable(table.filter((b) => !clash(b, binding)));

export interface KeptTable {
  readonly keys: Record<ClimbAction, string[]>;
  readonly pedals: Record<ClimbAction, string[]>;
}

function keptTable(table: readonly Binding[]): KeptTable {
  const of = (action: ClimbAction, midi: boolean) =>
    table.filter((b) => b.action === action && isMidi(b.signal) === midi).map(printBinding);
  const all = (midi: boolean) => eachOf(CLIMB_ACTIONS, (action) => of(action, midi));
  return { keys: all(false), pedals: all(true) };
}

/** What the table asks of one signal, so that a plain press need not wait for a hold or a second press. */
export function wantedOf(
  table: readonly Binding[],
  signal: Signal,
): Readonly<Record<Gesture, ClimbAction | undefined>> {
  const of = (gesture: Gesture) =>
    table.find((b) => b.signal === signal && b.gesture === gesture)?.action;
  return { press: of('press'), hold: of('hold'), double: of('double') };
}

/** Does the signal come from a MIDI foot switch? Else it is a key. */
export const isMidi = (signal: Signal): boolean => /^(cc|note|program):\d+$/.test(signal);

const clash = (a: Binding, b: Binding): boolean => a.signal === b.signal && a.gesture === b.gesture;

/** The same gesture twice in a damaged settings file: the first one holds. */
const withoutClashes = (table: readonly Binding[]): readonly Binding[] =>
  table.filter((b, i) => table.findIndex((other) => clash(other, b)) === i);

const KEY_NAMES: Readonly<Record<string, string>> = {
  Space: 'Space',
  Enter: 'Enter',
  Escape: 'Esc',
  Backspace: 'Backspace',
  ArrowUp: '↑',
  ArrowDown: '↓',
  ArrowLeft: '←',
  ArrowRight: '→',
  PageUp: 'Page Up',
  PageDown: 'Page Down',
};

/** A signal as a person would call it: "Page Down", "H", "control 64", "note 36". */
export function signalName(signal: Signal): string {
  const [kind, number] = signal.split(':');
  if (isMidi(signal)) return `${kind === 'cc' ? 'control' : kind} ${number}`;
  return own(KEY_NAMES, signal) ?? signal.replace(/^(Key|Digit)/, '');
}

const GESTURE_NAMES: Readonly<Record<Gesture, string>> = {
  press: '',
  hold: 'hold ',
  double: 'twice ',
};

/** "hold Page Down", "twice control 64", "↑". */
export const bindingName = ({ gesture, signal }: Binding): string =>
  `${GESTURE_NAMES[gesture]}${signalName(signal)}`;
