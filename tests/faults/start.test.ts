// `npm start` as a user runs it: its address, its sentences when something is wrong, its quiet end.
import type { ChildProcess } from 'node:child_process';
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import net from 'node:net';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { usualPort } from '../../app/browser-host/usual-port.ts';
import { temporaryDirectory } from '../unit/services/samples.ts';
import { FolderInUse, takeFolder } from '../../app/services/machine/store/data-folder.ts';
import { soon } from '../support/soon.ts';
import { needsLinux } from '../support/needs.ts';

const script = fileURLToPath(new URL('../../app/launch.mjs', import.meta.url));

let root: string;
const running: ChildProcess[] = [];
beforeEach(() => {
  root = temporaryDirectory();
});
afterEach(() => {
  running.splice(0).forEach((child) => child.kill('SIGKILL'));
  fs.rmSync(root, { recursive: true, force: true });
});

interface Started {
  readonly child: ChildProcess;
  /** Resolves with all that was said once it matches, or once the program has ended. */
  readonly said: (pattern: RegExp) => Promise<string>;
  readonly ended: Promise<number | null>;
}

const start = (...options: string[]): Started => startWith(process.env, ...options);

function startWith(env: NodeJS.ProcessEnv, ...options: string[]): Started {
  const data = ['--data', path.join(root, 'data')];
  const child = spawn(process.execPath, [script, ...data, ...options], { env });
  running.push(child);
  let text = '';
  child.stdout.on('data', (chunk: Buffer) => (text += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => (text += chunk.toString()));
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve));
  const said = async (pattern: RegExp): Promise<string> => {
    let over = false;
    void ended.then(() => (over = true));
    while (!pattern.test(text) && !over) await new Promise((resolve) => setTimeout(resolve, 50));
    return text;
  };
  return { child, said, ended };
}

async function serving(): Promise<Started> {
  const started = start('--no-open');
  await started.said(ADDRESS);
  return started;
}

/** The status of bringing the token of this address, as the page does. */
async function redeem(address: string): Promise<number> {
  const { origin, searchParams } = new URL(address);
  const answer = await fetch(`${origin}/session`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', origin },
    body: JSON.stringify({ token: searchParams.get('token') }),
  });
  return answer.status;
}

const ADDRESS = /^(http:\/\/127\.0\.0\.1:\d+\/\?token=\S+)$/m;

describe('npm start', () => {
  it('prints the address alone on a line, serves it, and ends well when told to stop', async () => {
    const { child, said, ended } = start('--no-open');
    const address = ADDRESS.exec(await said(ADDRESS))?.[1];
    expect((await fetch(address!)).status).toBe(200);
    expect(await redeem(address!)).toBe(200);
    expect(await redeem(address!)).toBe(403);
    expect(() => takeFolder(path.join(root, 'data'))).toThrow(FolderInUse);
    child.kill('SIGTERM');
    expect(await ended).toBe(0);
    takeFolder(path.join(root, 'data')).release();
  });

  it(
    'hands the browser a page for the owner alone, with no secret in the list of processes, gone once it was used',
    needsLinux,
    async () => {
      // What the system's opener calls on one of the usual desktops: it notes what it was given.
      const tools = path.join(root, 'tools');
      const noted = path.join(root, 'noted');
      fs.mkdirSync(tools);
      const note = `#!/bin/sh\n[ "$1" = --help ] || printf '%s\\n' "$@" > '${noted}'\n`;
      fs.writeFileSync(path.join(tools, 'exo-open'), note, { mode: 0o700 });
      const PATH = `${tools}:${process.env['PATH']}`;
      const env = { ...process.env, PATH, DISPLAY: ':7', XDG_CURRENT_DESKTOP: 'XFCE' };
      const { child, said, ended } = startWith(env, '--port', '0');
      const address = ADDRESS.exec(await said(ADDRESS))![1]!;
      await soon(() => expect(fs.readFileSync(noted, 'utf8')).toMatch(/\n$/));
      const given = fs.readFileSync(noted, 'utf8').trim();
      const page = path.join(root, 'data', 'open.html');
      expect(given).toBe(page);
      expect(fs.statSync(page).mode & 0o777).toBe(0o600);
      expect(fs.readFileSync(page, 'utf8')).toContain(address);
      expect(await redeem(address)).toBe(200);
      expect(fs.existsSync(page)).toBe(false);
      child.kill('SIGTERM');
      expect(await ended).toBe(0);
    },
  );

  it('says how it is stopped, and that it has stopped', async () => {
    const { child, said, ended } = start('--no-open');
    expect(await said(/Ctrl\+C/)).toContain('Everything you play is kept');
    child.kill('SIGINT');
    expect(await ended).toBe(0);
    expect(await said(/has stopped/)).toContain('Rungwise has stopped.');
  });

  it('starts on a folder that takes nothing, and stops', needsLinux, async () => {
    const { child, said, ended } = start('--no-open', '--data', '/proc/rungwise');
    expect(await said(ADDRESS)).toMatch(ADDRESS);
    child.kill('SIGINT');
    expect(await ended).toBe(0);
  });

  it('on a folder that is served already gives a fresh address of the first one', async () => {
    const first = ADDRESS.exec(await (await serving()).said(ADDRESS))![1]!;
    const second = start('--no-open');
    expect(await second.ended).toBe(0);
    const said = await second.said(ADDRESS);
    expect(said).toContain('running already');
    const fresh = ADDRESS.exec(said)![1]!;
    expect(fresh).not.toBe(first);
    expect(new URL(fresh).origin).toBe(new URL(first).origin);
    expect(await redeem(first)).toBe(200);
    expect(await redeem(fresh)).toBe(200);
    expect(fs.statSync(path.join(root, 'data', 'serving.json')).mode & 0o777).toBe(0o600);
  });

  it('refuses a data directory in use by another program, by name', async () => {
    const held = takeFolder(path.join(root, 'data'));
    const second = start('--no-open');
    expect(await second.ended).toBe(1);
    expect(await second.said(/already running/)).toContain('--data DIR');
    held.release();
  });

  it('names a port that is taken and lets the data directory go', async () => {
    const taken = net.createServer();
    await new Promise<void>((resolve) => taken.listen(0, '127.0.0.1', resolve));
    const { port } = taken.address() as net.AddressInfo;
    const { said, ended } = start('--port', String(port));
    expect(await said(/port is taken/)).toContain('--port N');
    expect(await ended).toBe(1);
    takeFolder(path.join(root, 'data')).release();
    taken.close();
  });

  it('serves a data folder at its own port, and at a free one when that is taken', async () => {
    const own = usualPort(path.join(root, 'data'));
    const first = start('--no-open');
    expect(await first.said(ADDRESS)).toContain(`http://127.0.0.1:${own}/`);
    first.child.kill('SIGTERM');
    await first.ended;
    const taken = net.createServer();
    await new Promise<void>((resolve) => taken.listen(own, '127.0.0.1', resolve));
    const again = ADDRESS.exec(await start('--no-open').said(ADDRESS))?.[1];
    expect(new URL(again!).port).not.toBe(String(own));
    taken.close();
  });

  it.each([
    [['--port', 'many'], /whole number from 0 to 65535/],
    [['--volume', '11'], /--volume/],
  ])('names what is wrong with %j', async (options, message) => {
    const { said, ended } = start(...options);
    expect(await ended).toBe(1);
    expect(await said(message)).toMatch(message);
  });
});
