// The oldest Node that npm may run on, said alike everywhere; and the word to who has no Node 24 beside the program.
import fs from 'node:fs';
import path from 'node:path';
import { runInNewContext } from 'node:vm';
import { describe, expect, it } from 'vitest';

const root = path.join(import.meta.dirname, '../../..');
const read = (file: string): string => fs.readFileSync(path.join(root, file), 'utf8');
const manifest = JSON.parse(read('package.json')) as {
  engines: { node: string };
  devDependencies: { node: string };
  scripts: Record<string, string>;
};

/** Runs the check as the Node of this version would. */
function on(version: string): { readonly said: string; readonly status: number } {
  const result = { said: '', status: 0 };
  runInNewContext(read('app/enough-node.cjs'), {
    process: { versions: { node: version }, exit: (status: number) => (result.status = status) },
    console: { error: (words: string) => (result.said += words) },
  });
  return result;
}

describe('the Node that runs the program', () => {
  it.each(['12.22.0', '20.19.2', '22.1.0'])(
    'is not %s, which is told what is missing',
    (version) => {
      const { said, status } = on(version);
      expect(status).toBe(1);
      expect(said).toContain(`found Node ${version}`);
      expect(said).toContain('Run `npm ci` again, without --ignore-scripts.');
    },
  );

  it.each(['24.0.0', '26.1.0'])('may be %s', (version) =>
    expect(on(version)).toEqual({ said: '', status: 0 }),
  );

  it('comes as a dependency, and is looked at before anything is started or tested', () => {
    expect(manifest.devDependencies.node).toMatch(/^24\./);
    expect(manifest.scripts['test']).toMatch(/^node app\/enough-node\.cjs && /);
    expect(manifest.scripts['start']).toMatch(/ app\/launch\.mjs$/);
    const [first] = read('app/launch.mjs')
      .replace(/^\/\/.*\n/gm, '')
      .split('\n');
    expect(first).toBe("import './enough-node.cjs';");
  });

  it('is asked of no newcomer: npm’s own floor is said alike everywhere', () => {
    const floor = /^>=(\d+)$/.exec(manifest.engines.node)?.[1];
    expect(floor).toBe('20');
    expect(read('README.md')).toContain(`with Node ${floor} or newer`);
    expect(read('.ci/run')).toContain(`with Node ${floor} or newer`);
    expect(read('.github/workflows/ci.yml')).toContain(`node: [${floor}, `);
  });
});
