// What the machine tells the view unasked.
import type { StandingProblem } from './host.ts';
import type { RoomId } from './rooms.ts';
import type { Travelled } from './shared.ts';

/** Rooms and actions the native menu offers. */
export type MenuAction =
  'new-chart' | 'import-chart' | 'export-chart' | 'print' | 'show-keys' | `show-${RoomId}`;

/** What the machine tells the view unasked. */
export interface ServiceEvents {
  /** All standing problems, whenever one comes or goes. */
  readonly problems: readonly StandingProblem[];
  readonly menu:
    { readonly action: MenuAction } | { readonly action: 'open-chart'; readonly chart: string };
  /** Sleep and wake of the machine; `hidden` when the window is put away and keeps its full speed. */
  readonly power: { readonly state: 'suspend' | 'resume' | 'hidden' };
  /** The system handed files to the program: `host.takeFiles` gives them. */
  readonly files: Readonly<Record<string, never>>;
  /** Another program has changed the folder of charts. */
  readonly charts: Readonly<Record<string, never>>;
  /** Something came into the shared folder, or how it travels has changed. */
  readonly shared: Readonly<Record<string, never>>;
  /** Something came from the player's other machines, or from students. */
  readonly travelled: Travelled;
}
export type EventName = keyof ServiceEvents;
