// The turns of a queue: how an entry becomes the climb on the stage, and the queue of the last time.
import type { LadderRules } from '../../../app/core/ladder/model.ts';
import type { Bpm } from '../../../app/core/base/units.ts';
import type { Memory } from '../../page/memory.ts';
import type { Climb } from '../climb/climb.svelte.ts';
import type { LadderSetup } from '../climb/ladder-setup.svelte.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import type { QueueAround } from './queue.svelte.ts';
import { isEntry, type QueueEntry } from './queue-entry.ts';
import type { Stage } from './stage.svelte.ts';

interface TurnsAround {
  readonly ladderSetup: LadderSetup;
  readonly messages: Messages;
  readonly stage: Stage;
}

/** Puts one entry on the stage; undefined after saying why it could not. */
export const turnStarter =
  ({ ladderSetup, messages, stage }: TurnsAround): QueueAround['start'] =>
  async (entry, minutes, from): Promise<Climb | undefined> => {
    await ladderSetup.load();
    await ladderSetup.choose(entry.chart.id, entry.unit.key);
    const setup = stage.fromSetup();
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
  };

/** The rules of one turn: its minutes, and on the way straight up from where the last turn ended. */
function turnRules(rules: LadderRules, minutes: number, from: Bpm | null): LadderRules {
  const goesOn = from !== null && rules.route === 'straight' && from <= rules.target;
  return { ...rules, maxMinutes: minutes, start: goesOn ? from : rules.start };
}

const MEMORY = 'rungwise.queue';

/** In this window at once, and among the settings, which go to the player's other computers. */
export const rememberIn =
  (memory: Memory, settings: Pick<PlayerSettings, 'write'>) =>
  (entries: readonly QueueEntry[]): void => {
    const text = JSON.stringify(entries);
    memory.setItem(MEMORY, text);
    // Where it cannot be written, this window has it all the same.
    settings.write({ queue: JSON.parse(text) as QueueEntry[] }).catch(() => undefined);
  };

/** The queue of the last time; what cannot be read of it is left out. */
export function rememberedIn(memory: Memory): readonly QueueEntry[] {
  try {
    const kept: unknown = JSON.parse(memory.getItem(MEMORY) ?? '[]');
    return Array.isArray(kept) ? kept.filter(isEntry) : [];
  } catch {
    return [];
  }
}
