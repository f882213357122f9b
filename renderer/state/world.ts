// Everything the rooms share, by name: built once at the start of the window, handed to every screen by context.
import { createContext } from 'svelte';
import type { Services } from '../../app/services/contract/contract.ts';
import type { Memory } from '../page/memory.ts';
import type { LadderSetup } from './climb/ladder-setup.svelte.ts';
import type { DeskState } from './desk/desk.svelte.ts';
import type { DeskFiles } from './desk/files.svelte.ts';
import type { SharedFolder } from './desk/shared.svelte.ts';
import type { Travel } from './travel/travel.svelte.ts';
import type { Ear } from './ear/ear.svelte.ts';
import type { Hearing } from './ear/hearing.svelte.ts';
import type { ExportDoor } from './files/export-door.svelte.ts';
import type { Incoming } from './files/incoming.svelte.ts';
import type { Library } from './library/library.svelte.ts';
import type { PassRecorder } from './log/pass-recorder.svelte.ts';
import type { PracticeLog } from './log/practice-log.svelte.ts';
import type { Messages } from './messages/messages.svelte.ts';
import type { StageControls } from './pedals/open-controls.ts';
import type { Pedals } from './pedals/pedals.svelte.ts';
import type { PlayerSettings } from './settings/settings.svelte.ts';
import type { Router } from './shell/router.svelte.ts';
import type { Shell } from './shell/shell.svelte.ts';
import type { FirstSound } from './sound/first-sound.svelte.ts';
import type { SoundOutput } from './sound/output.svelte.ts';
import type { Sound } from './sound/sound.svelte.ts';
import type { Breaks } from './stage/breaks.svelte.ts';
import type { PracticeQueue } from './stage/queue.svelte.ts';
import type { Stage } from './stage/stage.svelte.ts';
import type { DayPlan } from './today/day-plan.svelte.ts';

export interface World {
  readonly services: Services;
  /** What this window remembers until the next time. */
  readonly memory: Memory;
  readonly messages: Messages;
  readonly settings: PlayerSettings;
  readonly router: Router;
  readonly shell: Shell;
  readonly library: Library;
  readonly log: PracticeLog;
  readonly recorder: PassRecorder;
  readonly sound: Sound;
  readonly output: SoundOutput;
  readonly firstSound: FirstSound;
  readonly pedals: Pedals;
  readonly controls: StageControls;
  readonly desk: DeskState;
  readonly deskFiles: DeskFiles;
  readonly shared: SharedFolder;
  readonly travel: Travel;
  readonly dayPlan: DayPlan;
  readonly ladderSetup: LadderSetup;
  readonly ear: Ear;
  readonly hearing: Hearing;
  readonly stage: Stage;
  readonly breaks: Breaks;
  readonly queue: PracticeQueue;
  /** What only some rooms need is built by the first of them that asks, and is the same for all later ones. */
  readonly once: <T>(build: (world: World) => T) => T;
  readonly exportDoor: ExportDoor;
  readonly incoming: Incoming;
}

/** `world()` in a screen, while it is set up; `giveWorld` once, in the shell. */
export const [world, giveWorld] = createContext<World>();
