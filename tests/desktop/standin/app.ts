// Electron's `app`: paths, readiness, the one instance, the way out.
import { spawnSync } from 'node:child_process';
import { EventEmitter } from 'node:events';
import fs from 'node:fs';
import net from 'node:net';
import os from 'node:os';
import path from 'node:path';
import { assertNotReady, cancellable, engine, note } from './record.ts';
import { BrowserWindow } from './window.ts';

interface Manifest {
  readonly name: string;
  readonly productName?: string;
  readonly version: string;
}

const manifest = (): Manifest =>
  JSON.parse(fs.readFileSync(path.join(engine.root, 'package.json'), 'utf8')) as Manifest;

class App extends EventEmitter {
  isPackaged = false;
  quitting = false;
  readonly commandLine = {
    appendSwitch: (...all: string[]) => note('appendSwitch', ...all),
    hasSwitch: () => false,
  };
  readonly recent: string[] = [];
  readonly #paths = new Map([
    ['home', os.homedir()],
    ['temp', os.tmpdir()],
    ['appData', path.join(os.tmpdir(), 'standin')],
    ['exe', process.execPath],
  ]);
  #server: net.Server | undefined;
  #about: unknown;

  get name(): string {
    return manifest().productName ?? manifest().name;
  }
  get about(): unknown {
    return this.#about;
  }
  enableSandbox(): void {
    assertNotReady('app.enableSandbox()');
    note('enableSandbox');
  }
  isReady = (): boolean => engine.ready;
  whenReady(): Promise<void> {
    return engine.ready ? Promise.resolve() : new Promise((done) => this.once('ready', done));
  }
  getVersion = (): string => manifest().version;
  getName = (): string => this.name;
  getAppPath = (): string => engine.root;
  getLocale = (): string => 'en-GB';
  getFileIcon = (): Promise<unknown> => Promise.resolve({});
  setAppUserModelId = (id: string): void => note('setAppUserModelId', id);
  setAboutPanelOptions = (options: unknown): void => void (this.#about = options);
  showAboutPanel = (): void => note('showAboutPanel');
  addRecentDocument = (file: string): void => void this.recent.push(file);
  clearRecentDocuments = (): void => void this.recent.splice(0);
  focus = (): void => note('app focus');
  getPath(name: string): string {
    const found = this.#paths.get(name === 'sessionData' ? 'userData' : name);
    if (found === undefined) throw new Error(`Failed to get '${name}' path`);
    return found;
  }
  setPath(name: string, value: string): void {
    if (!path.isAbsolute(value)) throw new Error('Path must be absolute');
    if (!fs.existsSync(value)) throw new Error(`Failed to set path: ${value}`);
    this.#paths.set(name, value);
  }

  requestSingleInstanceLock(): boolean {
    const socket = path.join(this.getPath('userData'), 'instance.standin');
    const taken = this.#tell(socket, { argv: process.argv, cwd: process.cwd() });
    note('requestSingleInstanceLock', !taken);
    if (taken) return false;
    fs.rmSync(socket, { force: true });
    this.#server = net.createServer((connection) => this.#second(connection));
    this.#server.listen(socket).unref();
    return true;
  }
  /** At once, as in Electron: a helper process asks whether somebody listens. */
  #tell(socket: string, message: unknown): boolean {
    const script = `const s = require('net').connect(process.argv[1], () => s.end(process.argv[2]));
      s.on('close', () => process.exit(0)).on('error', () => process.exit(1))`;
    const args = ['-e', script, socket, JSON.stringify(message)];
    return fs.existsSync(socket) && spawnSync(process.execPath, args).status === 0;
  }
  #second(connection: net.Socket): void {
    let text = '';
    connection.on('data', (data) => (text += String(data)));
    connection.on('end', () => {
      const { argv, cwd } = JSON.parse(text) as { argv: string[]; cwd: string };
      this.emit('second-instance', cancellable(), argv, cwd);
      connection.end();
    });
  }

  quit(): void {
    note('quit');
    if (this.quitting) return;
    const event = cancellable();
    this.quitting = true;
    if (engine.ready) this.emit('before-quit', event);
    if (event.defaultPrevented) this.quitting = false;
    else void this.#leave();
  }
  async #leave(): Promise<void> {
    for (const window of [...BrowserWindow.all]) {
      if (await window.closeNow()) continue;
      this.quitting = false;
      return;
    }
    this.emit('will-quit', cancellable());
    this.emit('quit', {}, 0);
    await this.end();
  }
  /** Lets go of what a process would let go of by ending. */
  async end(): Promise<void> {
    this.#server?.close();
    await engine.context?.close().catch(() => undefined);
    this.emit('standin-ended');
  }
  exit(code = 0): void {
    void this.end().finally(() => process.exit(code));
  }
}

export const app = new App();
