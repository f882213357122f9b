// The peer for "which notes sound": the general-purpose transcriber basic-pitch (Apache-2.0), which is told no score.
//
// Its packages weigh 290 MB, so only who runs its row gets them: npm installs them into .cache.
import { execFileSync, execSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { PitchClass, Seconds, Share } from '../../../app/core/base/units.ts';

const FOLDER = fileURLToPath(new URL('../../../.cache/transcriber', import.meta.url));
/** The plain code of TensorFlow takes ten times as long as its WebAssembly. */
const PACKAGES = {
  model: ['@spotify/basic-pitch', '1.0.1'],
  tensors: ['@tensorflow/tfjs', '3.21.0'],
  faster: ['@tensorflow/tfjs-backend-wasm', '3.21.0'],
} as const;
/** What it was trained on: samples and frames a second, and the pitch of its first column (A0). */
const RATE = 22_050;
const FRAMES = RATE / 256;
const LOWEST = 21;

/** How sure it is of each pitch class in a stretch of a recording, C first. */
export type Transcribed = (from: Seconds, to: Seconds) => Share[];

/** What of the packages is called. */
interface Tensors {
  setBackend(name: string): Promise<boolean>;
  getKernel(name: string, backend: string): Kernel;
  unregisterKernel(name: string, backend: string): void;
  registerKernel(kernel: Kernel): void;
  loadGraphModel(source: { load: () => Promise<unknown> }): Promise<unknown>;
  engine(): Engine;
}
/** Tensors that are made between the two are freed by the second. */
interface Engine {
  startScope(): void;
  endScope(): void;
}
interface Kernel {
  readonly kernelFunc: (call: { readonly attrs: object }) => unknown;
}
interface BasicPitch {
  evaluateModel(
    samples: Float32Array,
    took: (frames: number[][]) => void,
    progress: () => void,
  ): Promise<void>;
}
interface Manifest {
  readonly modelTopology: unknown;
  readonly format: unknown;
  readonly weightsManifest: readonly {
    readonly paths: readonly string[];
    readonly weights: readonly unknown[];
  }[];
}

/** @throws Error where npm cannot reach its registry, or sox is missing. */
export async function transcriber(): Promise<(wav: string) => Promise<Transcribed>> {
  install();
  const load = createRequire(join(FOLDER, 'package.json'));
  const tensors = load(PACKAGES.tensors[0]) as Tensors;
  await withWebAssembly(tensors, load);
  const { BasicPitch: Model } = load(PACKAGES.model[0]) as {
    BasicPitch: new (model: unknown) => BasicPitch;
  };
  // Loaded before any scope, so that no end of one frees its weights.
  const model = new Model(Promise.resolve(await tensors.loadGraphModel({ load: readModel })));
  return async (wav) => {
    const frames: number[][] = [];
    // It frees nothing by itself, and WebAssembly's memory would be full after some fifty takes.
    tensors.engine().startScope();
    await model.evaluateModel(
      decoded(wav),
      (more) => frames.push(...more),
      () => undefined,
    );
    tensors.engine().endScope();
    return (from, to) => loudestOf(frames.slice(Math.round(from * FRAMES), Math.ceil(to * FRAMES)));
  };
}

function install(): void {
  if (existsSync(join(FOLDER, 'node_modules', PACKAGES.faster[0]))) return;
  mkdirSync(FOLDER, { recursive: true });
  writeFileSync(join(FOLDER, 'package.json'), '{}');
  const quietly = '--no-audit --no-fund --ignore-scripts --save-exact';
  const names = Object.values(PACKAGES).map((of) => of.join('@'));
  execSync(`npm install ${quietly} ${names.join(' ')}`, { cwd: FOLDER, stdio: 'ignore' });
}

async function withWebAssembly(tensors: Tensors, load: NodeJS.Require): Promise<void> {
  const { setWasmPaths } = load(PACKAGES.faster[0]) as {
    setWasmPaths: (folder: string) => void;
  };
  setWasmPaths(join(FOLDER, 'node_modules', PACKAGES.faster[0], 'dist/'));
  await tensors.setBackend('wasm');
  // This version's Fill asks for a type that its caller leaves out.
  const fill = tensors.getKernel('Fill', 'wasm');
  tensors.unregisterKernel('Fill', 'wasm');
  tensors.registerKernel({
    ...fill,
    kernelFunc: (call) => fill.kernelFunc({ ...call, attrs: { dtype: 'float32', ...given(call) } }),
  });
}

const given = ({ attrs }: { readonly attrs: object }): object =>
  Object.fromEntries(Object.entries(attrs).filter(([, value]) => value !== undefined));

async function readModel(): Promise<unknown> {
  const folder = join(FOLDER, 'node_modules', PACKAGES.model[0], 'model');
  const json = JSON.parse(readFileSync(join(folder, 'model.json'), 'utf8')) as Manifest;
  const parts = json.weightsManifest.flatMap(({ paths }) => paths);
  const bytes = Buffer.concat(parts.map((name) => readFileSync(join(folder, name))));
  return Promise.resolve({
    modelTopology: json.modelTopology,
    format: json.format,
    weightSpecs: json.weightsManifest.flatMap(({ weights }) => weights),
    weightData: Uint8Array.from(bytes).buffer,
  });
}

function decoded(wav: string): Float32Array {
  const options = `-t raw -e float -b 32 -r ${RATE} -c 1 -`.split(' ');
  const bytes = execFileSync('sox', [wav, ...options], {
    maxBuffer: 2 ** 28,
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  return new Float32Array(bytes.length >> 2).map((_, i) => bytes.readFloatLE(4 * i));
}

/** Of each pitch class the pitch that is surest on average. */
function loudestOf(frames: readonly number[][]): Share[] {
  const found = new Array<Share>(12).fill(0);
  for (let key = 0; key < 88; key++) {
    const mean = frames.reduce((sum, frame) => sum + frame[key]!, 0) / Math.max(1, frames.length);
    const pc: PitchClass = (LOWEST + key) % 12;
    found[pc] = Math.max(found[pc]!, mean);
  }
  return found;
}
