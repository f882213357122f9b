// A real WebDAV server on 127.0.0.1 for one test: lighttpd with mod_webdav, as Debian packs them, where installed.
import { type ChildProcess, spawn } from 'node:child_process';
import fs from 'node:fs';
import net from 'node:net';
import os from 'node:os';
import path from 'node:path';

export const DAV_MISSING =
  'lighttpd or lighttpd-mod-webdav is not installed here, so no server was asked';

export interface DavServer {
  /** The address of the folder on it. */
  readonly url: string;
  readonly port: number;
  readonly user: 'ada';
  readonly password: 'four small words';
  /** Where that folder lies on disk. */
  readonly folder: string;
  readonly close: () => Promise<void>;
}

const BINARY = '/usr/sbin/lighttpd';
export const davInstalled = (): boolean =>
  fs.existsSync(BINARY) && fs.existsSync('/usr/lib/lighttpd/mod_webdav.so');

export async function startDav(): Promise<DavServer> {
  const root = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-dav-'));
  const folder = path.join(root, 'files', 'lessons');
  fs.mkdirSync(folder, { recursive: true });
  fs.writeFileSync(path.join(root, 'users'), 'ada:four small words\n');
  const [port, server] = await listening(root);
  return {
    ...{ url: `http://127.0.0.1:${port}/lessons`, port, folder },
    ...{ user: 'ada', password: 'four small words' },
    close: async () => {
      const ended = new Promise((done) => server.once('exit', done));
      server.kill();
      await ended;
      fs.rmSync(root, { recursive: true, force: true });
    },
  };
}

const settings = (root: string, port: number): string => `
server.modules = ("mod_auth", "mod_authn_file", "mod_webdav")
server.bind = "127.0.0.1"
server.port = ${port}
server.document-root = "${root}/files"
server.errorlog = "${root}/errors"
server.upload-dirs = ("${root}")
server.max-connections = 64
webdav.activate = "enable"
auth.backend = "plain"
auth.backend.plain.userfile = "${root}/users"
auth.require = ("/" => ("method" => "basic", "realm" => "lessons", "require" => "valid-user"))
`;

/** Another program may take the port before the server does: then it asks for another one. */
async function listening(root: string): Promise<readonly [port: number, server: ChildProcess]> {
  const file = path.join(root, 'lighttpd.conf');
  for (let left = 5; ; left--) {
    const port = await freePort();
    fs.writeFileSync(file, settings(root, port));
    const server = spawn(BINARY, ['-D', '-f', file], { stdio: 'ignore' });
    try {
      await answers(port, server);
      return [port, server];
    } catch (error) {
      if (left === 0) throw error;
    }
  }
}

/** One that is free now; a server that names its own port would have to be asked for it. */
const freePort = (): Promise<number> =>
  new Promise((done, failed) => {
    const probe = net.createServer();
    probe.once('error', failed);
    probe.listen(0, '127.0.0.1', () => {
      const { port } = probe.address() as net.AddressInfo;
      probe.close(() => done(port));
    });
  });

async function answers(port: number, server: ChildProcess): Promise<void> {
  while (server.exitCode === null) {
    if (await connects(port)) return;
    await new Promise((done) => setTimeout(done, 20));
  }
  throw new Error(`lighttpd ended with ${server.exitCode}`);
}

const connects = (port: number): Promise<boolean> =>
  new Promise((done) => {
    const socket = net.connect(port, '127.0.0.1', () => {
      socket.destroy();
      done(true);
    });
    socket.once('error', () => done(false));
  });
