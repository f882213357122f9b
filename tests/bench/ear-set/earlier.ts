// The peer: this project's ear before it had its network, as it stood at one commit, on the same sound.
import { execSync } from 'node:child_process';
import { existsSync, mkdirSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import type { Expectation } from '../../../app/core/ear/model.ts';
import { BANK_RATE } from './bank.ts';
import type { Hearing } from './score.ts';

export const EARLIER = '53f6a99';
const ROOT = fileURLToPath(new URL('../../..', import.meta.url));

/** @throws Error where the repository's history does not reach back to that commit. */
export async function earlierEar(): Promise<(expectation: Expectation) => Hearing> {
  const folder = `${ROOT}.cache/ear-${EARLIER}`;
  if (!existsSync(folder)) {
    mkdirSync(folder, { recursive: true });
    execSync(`git archive ${EARLIER} app/core | tar -x -C "${folder}"`, { cwd: ROOT });
  }
  const load = (file: string): Promise<unknown> =>
    import(pathToFileURL(`${folder}/app/core/${file}`).href);
  const { listen } = (await load('ear/listener.ts')) as {
    listen: (expectation: Expectation, rate: number) => Hearing;
  };
  const { renderVoices } = (await load('sound/voices.ts')) as {
    renderVoices: (rate: number) => object;
  };
  // Voices that came later are unknown to it: it hears them as a part of the room.
  const voices = new Set(Object.keys(renderVoices(BANK_RATE)));
  return (expectation) => {
    const clicks = expectation.clicks.filter(({ voice }) => voices.has(voice));
    return listen({ ...expectation, clicks }, BANK_RATE);
  };
}
