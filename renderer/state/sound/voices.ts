// The click's voices by name, and a short lap that lets one of them be tried.
import type { VoiceLevels } from '../../audio/player.ts';
import type { Sound } from './sound.svelte.ts';
import { tryLap } from './try-lap.ts';

type ClickLevel = Exclude<keyof VoiceLevels, 'master' | 'model' | 'drums' | 'bass'>;

interface VoiceWords {
  readonly id: ClickLevel;
  readonly name: string;
  readonly what: string;
}

/** The click voices in the order they are offered. */
export const voices: readonly VoiceWords[] = [
  { id: 'count', name: 'Count-in', what: 'The sticks before you come in' },
  { id: 'bar', name: 'Bar', what: 'The first beat of every bar' },
  { id: 'beat', name: 'Beat', what: 'The other beats' },
  { id: 'subdivision', name: 'Between beats', what: 'Halves, thirds or quarters of a beat' },
  { id: 'cue', name: 'Cue', what: 'Says that a change is coming' },
  { id: 'change', name: 'Change', what: 'The moment a new chord must sound' },
  { id: 'rest', name: 'Rest bars', what: 'The beats while the hands rest' },
];

/** Two bars of one click voice, or of all of them. */
export async function tryVoice(sound: Sound, voice: ClickLevel | 'master'): Promise<void> {
  const player = await sound.open();
  if (!player) return;
  player.stop();
  player.schedule(tryLap(voice === 'master' ? undefined : voice), player.earliest());
}
