// The browser host as `npm start` runs it, asked what a view asks, and its resident memory.
import { spawn, spawnSync } from 'node:child_process';
import fs from 'node:fs';
import { fileURLToPath } from 'node:url';

const script = fileURLToPath(new URL('../../../app/launch.mjs', import.meta.url));
const manifest = fileURLToPath(new URL('../../../package.json', import.meta.url));
/** `node OPTIONS app/launch.mjs` */
const START = (JSON.parse(fs.readFileSync(manifest, 'utf8')) as { scripts: { start: string } })
  .scripts.start;
const ADDRESS = /^(http:\/\/127\.0\.0\.1:\d+\/\?token=\S+)$/m;

/** Bytes after these calls, in order. */
export async function memoryOfHost(
  folder: string,
  asked: readonly (readonly [name: string, input: unknown])[],
): Promise<number> {
  const options = ['--no-open', '--port', '0', '--data', folder];
  const child = spawn(process.execPath, [...START.split(' ').slice(1, -1), script, ...options]);
  try {
    const call = await openSession(await addressOf(child));
    for (const [name, input] of asked) await call(name, input);
    return residentBytes(child.pid!);
  } finally {
    child.kill('SIGTERM');
    await new Promise((resolve) => child.on('close', resolve));
  }
}

async function addressOf(child: ReturnType<typeof spawn>): Promise<string> {
  let text = '';
  for await (const chunk of child.stdout as AsyncIterable<Buffer>) {
    text += chunk.toString();
    const address = ADDRESS.exec(text)?.[1];
    if (address !== undefined) return address;
  }
  throw new Error(`the host did not start: ${text}`);
}

async function openSession(
  address: string,
): Promise<(name: string, input: unknown) => Promise<void>> {
  const { origin, searchParams } = new URL(address);
  const post = (path: string, body: unknown, more: Record<string, string> = {}) =>
    fetch(`${origin}${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', origin, ...more },
      body: JSON.stringify(body),
    });
  const opened = await post('/session', { token: searchParams.get('token') });
  const { value } = (await opened.json()) as { value: { session: string } };
  return async (name, input) => {
    const answer = await post(`/call/${name}`, input, { authorization: `Bearer ${value.session}` });
    if (!answer.ok) throw new Error(`${name} answered ${answer.status}`);
    await answer.arrayBuffer();
  };
}

/** By `ps`, which Linux and macOS have. @throws Error where it is not there. */
function residentBytes(pid: number): number {
  const { stdout } = spawnSync('ps', ['-o', 'rss=', '-p', String(pid)], { encoding: 'utf8' });
  const kilobytes = Number(stdout);
  if (!(kilobytes > 0)) throw new Error('this system does not say how much memory a process holds');
  return kilobytes * 1024;
}
