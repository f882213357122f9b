// A gate for each member of the band: shut, it is not heard, also in what was handed over long ago.
import type { Seconds } from '../../app/core/base/units.ts';

/** Time to fall to 1/e: short, and without a click. */
const GLIDE: Seconds = 0.008;

export class Gates {
  readonly #native: BaseAudioContext;
  readonly #gates = new Map<string, { readonly member: string; readonly node: GainNode }>();
  #muted: ReadonlySet<string> = new Set();

  constructor(native: BaseAudioContext) {
    this.#native = native;
  }

  /** The gate of a member before `next`; one for each way that its sounds take. */
  of(member: string, way: string, next: AudioNode): AudioNode {
    const key = `${way} ${member}`;
    const kept = this.#gates.get(key);
    if (kept) return kept.node;
    const node = new GainNode(this.#native, { gain: this.#gainOf(member) });
    node.connect(next);
    this.#gates.set(key, { member, node });
    return node;
  }

  setMuted = (members: ReadonlySet<string>): void => {
    this.#muted = members;
    for (const { member, node } of this.#gates.values()) {
      node.gain.setTargetAtTime(this.#gainOf(member), this.#native.currentTime, GLIDE);
    }
  };

  #gainOf = (member: string): number => (this.#muted.has(member) ? 0 : 1);
}
