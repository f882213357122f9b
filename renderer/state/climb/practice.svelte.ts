// The one queue and the one break reminder of this window, joined to its stage, settings and messages.
import type { LadderRules } from '../../../app/core/ladder/model.ts';
import type { Bpm } from '../../../app/core/base/units.ts';
import { Breaks } from './breaks.svelte.ts';
import type { Climb } from './climb.svelte.ts';
import { ladderSetup } from './ladder-setup.svelte.ts';
import { messages } from '../messages.svelte.ts';
import { isEntry, PracticeQueue, type QueueEntry } from './queue.svelte.ts';
import { settings } from '../settings.svelte.ts';
import { fromLadderSetup, stage } from './stage.svelte.ts';

const MEMORY = 'rungwise.queue';
const now = () => performance.now() / 1000;
const every = () => settings.now.breakReminderMinutes;

export const breaks = new Breaks({
  now,
  every,
  suggest: (words, take) => messages.say(words, { label: 'I take a break', run: take }),
});

export const practiceQueue = new PracticeQueue({
  now,
  newId: () => crypto.randomUUID(),
  breakEvery: every,
  start,
  clear: stage.leave,
  clock: () => breaks.clock,
  setClock: breaks.set,
  remembered,
  remember: (entries) => localStorage.setItem(MEMORY, JSON.stringify(entries)),
});

/** The queue of the last time; what cannot be read of it is left out. */
function remembered(): readonly QueueEntry[] {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(MEMORY) ?? '[]');
    return Array.isArray(kept) ? kept.filter(isEntry) : [];
  } catch {
    return [];
  }
}

async function start(
  entry: QueueEntry,
  minutes: number,
  from: Bpm | null,
): Promise<Climb | undefined> {
  await ladderSetup.load();
  ladderSetup.choose(entry.chart.id, entry.unit.key);
  const setup = fromLadderSetup();
  if (!setup) {
    messages.say(
      `“${entry.unit.name}” of “${entry.chart.title}” is no longer there; it is left out.`,
    );
    return undefined;
  }
  const before = stage.climb;
  const rules = turnRules(entry.rules ?? setup.rules, minutes, from);
  await stage.begin({ ...setup, rules, turn: true });
  return stage.climb === before ? undefined : stage.climb;
}

/** The rules of one turn: its minutes, and on the way straight up from where the last turn ended. */
export function turnRules(rules: LadderRules, minutes: number, from: Bpm | null): LadderRules {
  const goesOn = from !== null && rules.route === 'straight' && from <= rules.target;
  return { ...rules, maxMinutes: minutes, start: goesOn ? from : rules.start };
}
