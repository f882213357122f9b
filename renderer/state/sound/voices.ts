// Every voice by name in the order they are offered, and a short lap that lets one be tried.
import { bandOf } from '../../../app/core/band/band.ts';
import { NO_BAND } from '../../../app/core/band/model.ts';
import { BARE_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type { VoiceLevels } from '../../audio/player.ts';
import type { Sound } from './sound.svelte.ts';
import { tryLap, tryUnit } from './try-lap.ts';

type BandLevel = 'drums' | 'bass';
type ClickLevel = Exclude<keyof VoiceLevels, 'master' | 'model' | BandLevel>;

interface VoiceWords<Id> {
  readonly id: Id;
  readonly name: string;
  readonly what: string;
}

export const clickVoices: readonly VoiceWords<ClickLevel>[] = [
  { id: 'count', name: 'Count-in', what: 'The sticks before you come in' },
  { id: 'bar', name: 'Bar', what: 'The first beat of every bar' },
  { id: 'beat', name: 'Beat', what: 'The other beats' },
  { id: 'subdivision', name: 'Between beats', what: 'Halves, thirds or quarters of a beat' },
  { id: 'cue', name: 'Cue', what: 'Says that a change is coming' },
  { id: 'change', name: 'Change', what: 'The moment a new chord must sound' },
  { id: 'rest', name: 'Rest bars', what: 'The beats while the hands rest' },
];

export const bandVoices: readonly VoiceWords<BandLevel>[] = [
  { id: 'drums', name: 'Drums', what: 'Of the band, in the run-through' },
  { id: 'bass', name: 'Bass', what: 'Of the band, in the run-through' },
];

/** Two bars of one click voice, or of all of them. */
export async function tryVoice(sound: Sound, voice: ClickLevel | 'master'): Promise<void> {
  const player = await sound.open();
  if (!player) return;
  player.stop();
  player.schedule(tryLap(voice === 'master' ? undefined : voice), player.earliest());
}

/** Two bars of one member of the band. */
export async function tryBand(sound: Sound, member: BandLevel): Promise<void> {
  const player = await sound.open();
  if (!player) return;
  player.stop();
  await player.prepareBand();
  const lap = buildLap(tryUnit, tryUnit.tempo.bpm, BARE_LAP);
  const band = { ...NO_BAND, [member]: bandOf(tryUnit, lap)[member] };
  player.schedule(lap, player.earliest(), { click: 'none', band });
}
