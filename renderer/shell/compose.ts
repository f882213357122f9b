// The composition root of the view: builds everything the rooms share, each from what it is given.
import type { Services } from '../../app/services/contract/contract.ts';
import { isoNow, later } from '../page/clock.ts';
import type { Memory } from '../page/memory.ts';
import { outlive } from '../page/outlive.svelte.ts';
import { LadderSetup } from '../state/climb/ladder-setup.svelte.ts';
import { DeskState } from '../state/desk/desk.svelte.ts';
import { DeskFiles } from '../state/desk/files.svelte.ts';
import { SharedFolder } from '../state/desk/shared.svelte.ts';
import { Travel } from '../state/travel/travel.svelte.ts';
import { Ear } from '../state/ear/ear.svelte.ts';
import { Hearing } from '../state/ear/hearing.svelte.ts';
import { ExportDoor } from '../state/files/export-door.svelte.ts';
import { Incoming } from '../state/files/incoming.svelte.ts';
import { Library } from '../state/library/library.svelte.ts';
import { PassRecorder } from '../state/log/pass-recorder.svelte.ts';
import { PracticeLog } from '../state/log/practice-log.svelte.ts';
import { Messages } from '../state/messages/messages.svelte.ts';
import { StageControls } from '../state/pedals/open-controls.ts';
import { Pedals } from '../state/pedals/pedals.svelte.ts';
import { PlayerSettings } from '../state/settings/settings.svelte.ts';
import { Router } from '../state/shell/router.svelte.ts';
import { Shell } from '../state/shell/shell.svelte.ts';
import { FirstSound } from '../state/sound/first-sound.svelte.ts';
import { SoundOutput } from '../state/sound/output.svelte.ts';
import { Sound } from '../state/sound/sound.svelte.ts';
import { Breaks } from '../state/stage/breaks.svelte.ts';
import { PracticeQueue } from '../state/stage/queue.svelte.ts';
import { Stage } from '../state/stage/stage.svelte.ts';
import { rememberedIn, rememberIn, turnStarter } from '../state/stage/turns.ts';
import { DayPlan } from '../state/today/day-plan.svelte.ts';
import type { World } from '../state/world.ts';

/** Builds the state of the whole view, each part given those below it. */
export function composeWorld(services: Services, memory: Memory): World {
  const base = composeBase(services, memory);
  const sounding = { ...base, ...composeSound(base) };
  const hands = { ...sounding, ...composeHands(sounding) };
  const kept = { ...hands, ...composeRecord(hands) };
  const world: World = { ...kept, ...composePractice(kept), once: builders(() => world) };
  return world;
}

function builders(world: () => World): World['once'] {
  const built = new Map<unknown, unknown>();
  return <T>(build: (world: World) => T): T => {
    const first = () => outlive(() => build(world()));
    if (!built.has(build)) built.set(build, first());
    return built.get(build) as T;
  };
}

type Base = Pick<World, 'services' | 'memory' | 'messages' | 'settings' | 'router' | 'shell'>;

function composeBase(services: Services, memory: Memory): Base {
  const messages = new Messages();
  const settings = new PlayerSettings({ services, messages });
  const router = new Router(memory);
  return { services, memory, messages, settings, router, shell: new Shell(messages) };
}

type SoundStates = Pick<World, 'sound' | 'output' | 'firstSound'>;

function composeSound(base: Base): SoundStates {
  const sound = new Sound(base);
  const firstSound = new FirstSound(base.settings);
  const output = new SoundOutput({ ...base, sound });
  return { sound, output, firstSound };
}

type Hands = Pick<World, 'pedals' | 'controls'>;

function composeHands({ settings }: Base): Hands {
  const pedals = new Pedals();
  return { pedals, controls: new StageControls({ settings, pedals }) };
}

type Kept = Pick<
  World,
  'library' | 'log' | 'recorder' | 'desk' | 'deskFiles' | 'shared' | 'dayPlan' | 'incoming'
>;

/** What is written down: charts, passes, what is set. */
function composeRecord(base: Base): Kept {
  const library = new Library(base);
  const log = new PracticeLog(base);
  const { keep, written } = log;
  const recorder = new PassRecorder({ services: base.services, isoNow, later, keep, written });
  const desk = new DeskState({ ...base, log });
  const all = { ...base, library, log, desk };
  const deskFiles = new DeskFiles(all);
  const shared = new SharedFolder({ ...all, deskFiles });
  return {
    ...{ library, log, recorder, desk },
    ...{ deskFiles, shared },
    dayPlan: new DayPlan(all),
    incoming: new Incoming(all),
  };
}

type Practice = Pick<
  World,
  'ladderSetup' | 'ear' | 'hearing' | 'stage' | 'breaks' | 'queue' | 'exportDoor' | 'travel'
>;

/** What is climbed, and what listens. */
function composePractice(before: Base & SoundStates & Hands & Kept): Practice {
  const { messages, settings, sound } = before;
  const ladderSetup = new LadderSetup(before);
  const ear = new Ear({
    microphones: async () => (await import('../audio/capture/microphones.ts')).browserMicrophones,
    player: sound.open,
    measure: async (...asked) =>
      (await import('../audio/capture/latency/measure.ts')).measureRoundTrip(...asked),
    settings: () => settings.now,
    write: settings.write,
    isoNow,
  });
  const hearing = new Hearing({ ear, settings, messages });
  const stage = new Stage({ ...before, hearing, ladderSetup });
  const now = () => performance.now() / 1000;
  const every = () => settings.now.breakReminderMinutes;
  const breaks = new Breaks({
    now,
    every,
    suggest: (words, take) => messages.say(words, { label: 'I take a break', run: take }),
  });
  const queue = new PracticeQueue({
    now,
    newId: () => crypto.randomUUID(),
    breakEvery: every,
    start: turnStarter({ ladderSetup, messages, stage }),
    clear: stage.leave,
    clock: () => breaks.clock,
    setClock: breaks.set,
    remembered: () => rememberedIn(before.memory),
    remember: rememberIn(before.memory, settings),
  });
  const exportDoor = new ExportDoor({
    ...before,
    bandKit: async (rate) => (await import('../audio/band-kit.ts')).bandKit(rate),
  });
  const travel = new Travel({ ...before, ladderSetup, queue });
  return { ladderSetup, ear, hearing, stage, breaks, queue, exportDoor, travel };
}
