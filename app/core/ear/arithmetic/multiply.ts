// The ear's one heavy step, as WebAssembly with vectors where the page may run that, else as plain code.
//
// Both work on the same memory and agree but for the last bits of a 32-bit float; tests hold them side by side.

/** Places and strides count numbers, not bytes. */
export interface Product {
  readonly x: number;
  readonly xStride: number;
  /** Blocks of {@link BLOCK} outputs: [block][input][BLOCK]. */
  readonly weights: number;
  readonly bias: number;
  readonly y: number;
  readonly yStride: number;
  readonly rows: number;
  readonly inputs: number;
  /** A multiple of {@link BLOCK}. */
  readonly outputs: number;
  /** Smaller results become this one; −∞ leaves all as they are, 0 rectifies. */
  readonly floor: number;
}

/** For each row: y[output] = max(floor, bias[output] + Σ weight · x[input]). */
export type Multiply = (product: Product) => void;

/** So many outputs are summed side by side. */
export const BLOCK = 8;

/** A page of WebAssembly's memory, in bytes. */
const PAGE = 65_536;

/** Of 32 bits in the program; tests reckon with 64, too. */
export type Numbers = Float32Array | Float64Array;

export interface Arithmetic {
  /** Everything the network reckons with. */
  readonly numbers: Numbers;
  readonly multiply: Multiply;
}

/** Room for `length` numbers, and who multiplies there. */
export function arithmeticFor(length: number): Arithmetic {
  return withVectors(length) ?? plainly(length);
}

/** What of WebAssembly is needed here; the core knows no page. */
declare const WebAssembly:
  | {
      readonly Module: new (bytes: Uint8Array) => object;
      readonly Memory: new (size: { initial: number }) => { readonly buffer: ArrayBuffer };
      readonly Instance: new (module: object, imports: object) => { readonly exports: object };
    }
  | undefined;
declare const atob: (text: string) => string;

/** multiply.wat, compiled by `wat2wasm --enable-relaxed-simd` and written in base 64. */
export const COMPILED = [
  'AGFzbQEAAAABDgFgCn9/f39/f39/f30AAhABA2VhcgdudW1iZXJzAgABAwIBAAcMAQhtdWx0aXBseQAACvYEAfMEAwF7Cn8LeyAJ',
  '/RMhCgNAIAYhDCAAIRAgBCALaiEPAkADQCAMQQRIDQEgECERIBEgAWohEiASIAFqIRMgEyABaiEUIBQgAWohECARIAdqIQ0gAiEO',
  'IAMgC2r9AAQAIRggAyALav0ABBAhGSAYIRogGSEbIBghHCAZIR0gGCEeIBkhHwNAIA79AAQAIRUgDv0ABBAhFiAR/QkCACEXIBcg',
  'FSAY/YUCIRggFyAWIBn9hQIhGSAS/QkCACEXIBcgFSAa/YUCIRogFyAWIBv9hQIhGyAT/QkCACEXIBcgFSAc/YUCIRwgFyAWIB39',
  'hQIhHSAU/QkCACEXIBcgFSAe/YUCIR4gFyAWIB/9hQIhHyASQQRqIRIgE0EEaiETIBRBBGohFCAOQSBqIQ4gEUEEaiIRIA1IDQAL',
  'IA8gGCAK/ekB/QsEACAPIBkgCv3pAf0LBBAgDyAFaiEPIA8gGiAK/ekB/QsEACAPIBsgCv3pAf0LBBAgDyAFaiEPIA8gHCAK/ekB',
  '/QsEACAPIB0gCv3pAf0LBBAgDyAFaiEPIA8gHiAK/ekB/QsEACAPIB8gCv3pAf0LBBAgDyAFaiEPIAxBBGshDAwACwsCQANAIAxF',
  'DQEgECERIBAgAWohECARIAdqIQ0gAiEOIAMgC2r9AAQAIRggAyALav0ABBAhGQNAIBH9CQIAIRcgFyAO/QAEACAY/YUCIRggFyAO',
  '/QAEECAZ/YUCIRkgDkEgaiEOIBFBBGoiESANSA0ACyAPIBggCv3pAf0LBAAgDyAZIAr96QH9CwQQIA8gBWohDyAMQQFrIQwMAAsL',
  'IA4hAiALQSBqIgsgCEgNAAsL',
].join('');

type Compiled = (...places: number[]) => void;

let compiled: object | null | undefined;

/** Compiled once, so that it is not slow anew for every desk; null where the page's policy forbids it. */
function compiledOnce(): object | null {
  if (compiled === undefined && typeof WebAssembly !== 'undefined') {
    try {
      compiled = new WebAssembly.Module(Uint8Array.from(atob(COMPILED), (c) => c.charCodeAt(0)));
    } catch {
      compiled = null;
    }
  }
  return compiled ?? null;
}

/** Undefined where there is no WebAssembly, or none is allowed. */
export function withVectors(length: number): Arithmetic | undefined {
  const module = compiledOnce();
  if (!module || typeof WebAssembly === 'undefined') return undefined;
  const memory = new WebAssembly.Memory({ initial: Math.ceil((4 * length) / PAGE) });
  const { exports } = new WebAssembly.Instance(module, { ear: { numbers: memory } });
  const { multiply } = exports as { multiply: Compiled };
  return {
    numbers: new Float32Array(memory.buffer),
    // prettier-ignore
    multiply: (p) =>
      multiply(4 * p.x, 4 * p.xStride, 4 * p.weights, 4 * p.bias, 4 * p.y, 4 * p.yStride,
        p.rows, 4 * p.inputs, 4 * p.outputs, p.floor),
  };
}

/** The same sums in plain JavaScript, for machines without WebAssembly's vectors. @param length how many numbers */
export function plainly(length: number, numbers: Numbers = new Float32Array(length)): Arithmetic {
  return { numbers, multiply: (product) => multiplyPlainly(numbers, product) };
}

function multiplyPlainly(n: Numbers, p: Product): void {
  for (let o = 0; o < p.outputs; o += BLOCK) {
    for (let row = 0; row < p.rows; row++) {
      const x = p.x + row * p.xStride;
      const y = p.y + row * p.yStride + o;
      for (let k = 0; k < BLOCK; k += 4) {
        let [a, b, c, d] = [0, 0, 0, 0];
        let w = p.weights + o * p.inputs + k;
        for (let i = x; i < x + p.inputs; i++, w += BLOCK) {
          const v = n[i]!;
          a += v * n[w]!;
          b += v * n[w + 1]!;
          c += v * n[w + 2]!;
          d += v * n[w + 3]!;
        }
        const bias = p.bias + o + k;
        n[y + k] = Math.max(p.floor, a + n[bias]!);
        n[y + k + 1] = Math.max(p.floor, b + n[bias + 1]!);
        n[y + k + 2] = Math.max(p.floor, c + n[bias + 2]!);
        n[y + k + 3] = Math.max(p.floor, d + n[bias + 3]!);
      }
    }
  }
}
